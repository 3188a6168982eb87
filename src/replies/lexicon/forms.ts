/** Contractions, texting slang, dialect function words and emoji, as data: left as written, right as read. */

const table = (rows: string): Map<string, string[]> =>
  new Map(
    rows
      .trim()
      .split('\n')
      .flatMap((row) => {
        const [left = '', right = ''] = row.split('=')
        return left
          .trim()
          .split(/\s+/)
          .map((w): [string, string[]] => [w, right.trim().split(/\s+/)])
      }),
  )

export const CONTRACTIONS = table(`
cant cyaan cyah cannot carnt cannae canny caint canot cantt canna cannit kant cnat = can not
dont dinnae dinna dunt dnt donnot divvent divvnt = do not
didnt didn didnae didna diddnt dint didint didt dident = did not
wont willnae winnae wint = will not
tisnt tisnae = it is not
isnt isn isnae int isna = is not
arent arenae = are not
wasnt wasnae worrnt = was not
werent werenae = were not
hasnt hasnae hasent hasn = has not
havent havnt havenae havnae hevent avent = have not
hadnt hadnae hadent = had not
doesnt doesn dosnt doesnae doesent dusnt dosent = does not
couldnt couldn couldnae cudnt cldnt coudnt couldent culdnt = could not
abit = a bit
moning mornig mornign = morning
nite nyt = night
avvy arvo = afternoon
alot allot = a lot
wouldnt wouldn wouldnae wudnt wldnt wouldent = would not
shouldnt shouldnae shudnt = should not
mustnt = must not
neednt = need not
aint aynt = is not
im iam ahm = i am
ive = i have
id = i would
its tis = it is
itll = it will
itd = it would
thats = that is
theres thers = there is
heres = here is
hes = he is
shes = she is
whats = what is
wheres = where is
hows = how is
weve = we have
youve = you have
theyve = they have
theyre = they are
youre = you are
youll = you will
theyll = they will
lets = let us
gonna gunna = going to
wanna = want to
gotta = got to
gottae = got to
dunno = do not know
shoulda = should have
coulda = could have
woulda = would have
`)

export const SLANG = table(`
pane payne pian = pain
aswell = as well
poss = possible
il = i will
ony onny = only
hent hant haint = have not
int = is not
yest yday = yesterday
arter = after
wuz wor = was
dree = three
wance wunce yance = once
ae = of
wull = will
eard = heard
ard = hard
andsome = handsome
ahint = behind
doon = down
dunt = do not
itsen = itself
mesen = myself
wid = with
mi = me
tother = the other
deid = dead
til = till
everythings = everything is
tounge = tongue
iv = i have
throats = throat is
tongues = tongue is
mouths = mouth is
bcoz bcos coz = because
obvs = obviously
yh = yes
soz = sorry
meself = myself
msging msgin messagin = messaging
msg mesage = message
msgs = messages
txting txtin = texting
sair = sore
sairer = sorer
wis = was
ys yse eys yess yss yas yed yez = yes
outa outta = out of
hozzy ozzy hossie hosp hozzie = hospital
u yu ya yer = you
thre = three
wance wunce = once
mebbe mebby mibbe = maybe
sofer soffer softr softa = softer
2wice twyce 2ice = twice
bth = both
anither = another
forrard = forward
r = are
ur yr = your
wi wiv = with
n = and
nd = and
cos coz cuz cus bcos bcoz becos becuz becoz cause becuse becasue becaus bc = because
tho = though
altho = although
pls plz plse pleas = please
thx tx thks thnx ta tnx thanx fanks cheers = thanks
ty = thank you
tmrw tmoz tomoz tmr tomo tomorow tommorow tomorro tomorrer tomorra = tomorrow
2moro 2morrow = tomorrow
yday ystrday yesturday yesterdy yestrday yesterdays = yesterday
2day tday todays = today
2nite tonite tonights = tonight
morn mornin mornings mrning mornng = morning
eve evenin evenings = evening
nite nights neet = night
thro thru = through
bin = been
hav av = have
haz = has
wos woz wiz = was
wot wat whit = what
wen = when
abt aboot = about
b4 = before
msg mssg = message
txt txts = text
appt apt appointmnt apointment appoinment appiontment app = appointment
dr docs = doctor
hosp = hospital
min mins = minutes
hr hrs = hours
wk = week
wks = weeks
mth mths = months
yr yrs = years
nowt nuffin nuthin nuffink nothin naethin nothink nout = nothing
owt = anything
summat sumthing somethin sumfin summit = something
nae naw na nope nah noo nay naa neigh nopes noh = no
aye yep yup yeah yea yeh ya yip ay yas yess yah yessir uhuh yis = yes
ok okay okey oki okeydokey okeydoke k kk = ok
mi = my
oor = our
wee = little
lug lugs lughole lughole earhole lugole = ear
lugholes = ears
heid hed = head
mooth = mouth
een = eyes
baith = both
twae twa = two
wan = one
deid = dead
deef deaff deif = deaf
hoose = house
aw = all
oot = out
doon = down
noo = now
weel = well
slipt = slipped
fases fase = face
won = one
yin = one
ain = own
gie gies giein = give
sair = sore
polis = police
dae = do
tae = to
fae frae = from
awfy = very
gey = very
jist jus = just
ken = know
bairn bairns = child
lass lad = child
thi tha = the
owd = old
reet = right
allus = always
agen agin = again
neever = never
aftr = after
somat = something
med = medicine
meds tabs = medicines
paracetemol paracetomol paracetamols = paracetamol
hosptial = hospital
ambulence = ambulance
bludy = bloody
thankyou thankyu = thank you
yella yeller = yellow
ayup = hello
pon = on
haffi = have to
da = dad
em = them
rong wrang = wrong
lyin = lying
nee = no
hale = whole
wor = our
atm = now
rn = now
idk = do not know
tbh fyi btw lol haha hehe x xx xxx xo = kiss
asap = soon
`)

/** "ill" before one of these is "I will". */
export const WILL_VERBS = new Set(
  'fetch collect nip do be try see put ring call take let have get go keep text carry give make start use come phone send wait remember stop tell pop need just also definitely probably then still do it'.split(
    ' ',
  ),
)

/** Pictures by meaning; a picture that is not listed is decoration. */
export const EMOJI = new Map<string, string>(
  [
    ['👍👌✅🆗✔☑👍', 'emoji-yes'],
    ['👎❌✖🚫🙅', 'emoji-no'],
    ['🤢🤮', 'emoji-sick'],
    ['😵💫🌀', 'emoji-dizzy'],
    ['🩸', 'emoji-blood'],
    ['😭😢😿😩😫😖😣🥺😞', 'emoji-crying'],
    ['🤒🥵🌡', 'emoji-fever'],
    ['🤕', 'emoji-hurt'],
    ['🆘🚑🚨☠💀⚰', 'emoji-help'],
    ['😷', 'emoji-ill'],
    ['🔥', 'emoji-fire'],
    ['🤷', 'emoji-shrug'],
    ['🧏', 'emoji-deaf'],
  ].flatMap(([pictures = '', word = '']) =>
    [...pictures].map((picture): [string, string] => [picture, word]),
  ),
)
