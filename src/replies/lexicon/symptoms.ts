/**
 * Symptoms as people write them. A pattern is words in order: `a|b` one of, `@name` one of a class,
 * `~n` up to n other words between, `word?` may be missing. Longer matches win over shorter ones of the same kind.
 */
import type { FindingKind, FindingTag } from '../types.ts'

export const CLASSES: Record<string, string> = {
  ear: 'ear ears eardrum eardrums drum canal earlobe lobe lughole earole',
  hurt: 'pain pains painful painfull hurt hurts hurting hurty ache aches ached aching achy achey achin sore soreness sorer tender tenderness throb throbs throbbed throbbing throbby thumping thumps sting stings stinging stung stingy smarting stabbing stabbed stabs twinge twinges twinging niggle niggles niggling niggly nagging gnawing agony agonising agonizing excruciating raw nipping nippy louping stounding pounding jabbing searing piercing shooting burning burns discomfort uncomfortable uncomfy soreness painfully',
  hurtnoun: 'pain pains ache aches soreness throbbing stinging discomfort twinge twinges agony tenderness',
  headword: 'head heads skull temples temple forehead',
  elsewhere:
    'stomach tummy belly tooth teeth nose bowels bladder gut ribs gums sinus sinuses kidneys kidney groin',
  limb: 'arm arms leg legs hand hands fingers finger foot feet limb limbs',
  face: 'face gob gobs mouth lip lips cheek cheeks smile grin eyelid eyelids eyebrow eyebrows facial jowl forehead',
  droop:
    'droop droops drooped drooping droopy droopin dropped sag sags sagging sagged saggy slipped slipping fallen falling lopsided wonky wonkey squiffy squint squinty skew skewed skewwhiff crooked twisted twisting pulled pulling drawn numb numbed numbness tingling tingly tingles tingle paralysed paralyzed paralysis palsy frozen weak weakness weaker heavy dead uneven lifeless slack unresponsive',
  swell:
    'swell swells swelled swelling swelld swollen puffy puffed puffing lump lumps lumpy bump bumps bulge bulging bulges ballooned enlarged bigger engorged',
  bleed: 'bleed bleeds bleeding bled bleedin bleading blooding haemorrhage haemorrhaging',
  blood: 'blood bleeding bleed bled bleeds bleedin bleading',
  leak: 'leak leaks leaking leaked leaky ooze oozes oozing oozed oozy weep weeps weeping weepy wept drip drips dripping dripped dribble dribbles dribbling dribbled seep seeps seeping seeped drain drains draining drained trickle trickles trickling trickled run runs running ran runny discharge discharges discharging discharged pour pours pouring poured exuding suppurating',
  gunk: 'gunk gunky gunge gungy gunk goo gooey gloop gloopy goop muck mucky mucus muck matter slime slimy crud cruddy gack yuk yuck gubbins',
  fluid:
    'fluid fluids liquid liquids water watery stuff something wetness moisture substance ooze sludge juice goo gunk gunge gunky gungy gloop muck mucky mucus matter slime crud discharge pus puss wetness serum',
  coloured:
    'purulent yellow yellowy yellowish green greeny greenish brown browny brownish grey greyish white whitish milky cloudy creamy cream black blackish mustard coloured colour honey murky dirty khaki orange',
  red: 'red reddish pink pinkish pinky rusty crimson claret',
  clear: 'clear clearish watery water transparent colourless',
  smell:
    'smell smells smelly smelling smelt smelled stink stinks stinky stinking stunk pong pongs ponging pongy whiff whiffs whiffy reek reeks reeking foul niff niffs niffy honk honks honking hums minging rank manky mingin putrid pungent odour rancid stench',
  gone: 'gone goes went going lost losing disappeared vanished dropped dropping drop failed failing faded fading shot finished packed deserted died dead',
  badhear:
    'worse worsened worsening bad poor terrible rubbish awful dreadful down reduced duller dull dulled muffled muffly poorer diminished less off weird funny dodgy hopeless useless pants lousy shocking deteriorated deteriorating decreased distorted dim dimmed faint fainter quiet quieter muffeled patchy wrong limited lower',
  fine: 'fine ok good great grand brilliant better improved improving excellent perfect normal back clear clearer sharp sharper champion lovely wonderful amazing fantastic well tip-top unchanged alright sound super superb marvellous fab okay decent sorted restored returned smashing',
  dizzy:
    'dizzy dizziness dizzyness dizy dizzier dizziest giddy giddiness woozy woozie swimmy swimy vertigo lightheaded lightheadedness unbalanced imbalance disorientated disoriented seasick dizzying wozzy',
  unsteady:
    'unsteady wobbly wobbling wobble wobbles staggering stagger staggered swaying sway tottering tottery lurching reeling teetering unstable doddery veering listing',
  ring: 'ringing wringing tinnitus buzzing buzz buzzes buzzy humming hissing hiss whistling whooshing whoosh roaring rushing droning drone screeching ringin pulsatile tinitus',
  blocked:
    'blocked bunged clogged plugged stuffed stuffy congested blockage clogging bunging full fullness pressure stoppered fuzzy corked cloggy',
  itch: 'itch itchy itches itching itched itchin itchiness tickle tickly tickles tickling ticklish irritated irritation irritating scratchy scratching crawly',
  sickfeel: 'sick queasy nauseous nauseated nausea nausious bilious sicky sickly qeasy',
  vomit:
    'vomit vomits vomiting vomited vomitting puke puking puked spew spewing spewed heaving retching barfing hurling threw throwing chucking',
  rashw:
    'rash rashes hives blotchy blotches welts blisters blister blistered blistering eczema urticaria blotch weals',
  facepart:
    'face mouth gob lip lips smile smiles eyelid eyelids eyebrow eyebrows smile grin cheek chops mush',
  odd: 'hung hang hangs hanging melted melting lifeless wonky lopsided crooked twisted slipped slid dropped dropping droop drooping droopy drooped droopin sagging sagged numb numbed numbness asleep sleep dead frozen skew skewwhiff squint squiffy sideways slack uneven tingling tingly tingles dribbling drooling dribble drool paralysed bloodhound useless rubbery waxwork stroke palsy limp weak heavy',
  blotch: 'purple blotches blotchy spots rash marks mottled',
  breathe: 'breathe breath breathing breathin breth',
  hard: 'struggling struggle struggled trouble difficulty difficult difficulties hard harder problems problem cannot',
  feel: 'feel feels feeling felt',
  intens:
    'really very so extremely terribly awfully dead right proper well incredibly bloody seriously absolutely totally too awful dreadfully ever violently severely badly',
  collapse:
    'collapse collapsed collapsing collapses fainted fainting unconscious blackout blackouts seizure seizures convulsion convulsions convulsing keeled passedout unresponsive',
  put: 'put putting used using use had given applied poured squirted dripped',
  hole: 'hole holes perforated perforation burst ruptured grommet grommets torn',
}

/** One row of the lexicon. `denies`: the phrase itself says that the symptom is absent. `severity` is of pain. */
export type Concept = {
  kind: FindingKind
  patterns: string
  tags?: FindingTag[]
  severity?: number
  denies?: boolean
  /** Words that say that it was there and has gone. */
  gone?: boolean
}

const c = (kind: FindingKind, patterns: string, rest: Omit<Concept, 'kind' | 'patterns'> = {}): Concept => ({
  kind,
  patterns,
  ...rest,
})

export const CONCEPTS: Concept[] = [
  // pain
  c(
    'pain',
    '@hurt; earache|earaches|otalgia|earake|eareache|earack|earaches; emoji-hurt; playing me? up; ouch|ow|owch; nips|nippin; paining|pained; smarts',
  ),
  c(
    'pain',
    '@hurt|pan|pin|pane ~2 in|inside|behind|round|around|from|of ~2 @ear; @ear ~3 @hurt; @hurt ~1 @ear; toothache ~2 in ~2 @ear; sore ~1 lug',
  ),
  c(
    'pain',
    'giving|gives|gave|given|give|gies me|it|us ~1 gyp|jip|gip|jyp|grief|hell|stick|bother|trouble|what|jip|pain|problems',
    {},
  ),
  c(
    'pain',
    'killing|kills|killin me|us; murdering me; driving me mad|insane|crazy|mental ~3 @hurt; murder; giving it some',
    {
      severity: 8,
    },
  ),
  c(
    'pain',
    'red hot ~1 poker|needle|needles|knife|knives; knife|needle|needles|skewer|poker|drill ~3 ear; have|has|had|got|in ~2 me ~1 in? tears; agony|excruciating|unbearable|crippling|agonising|agonizing|torture|blinding|intolerable; stabbing; hurts like hell|mad|billyo|anything|crazy|stink|buggery; hell of a pain; worst pain|earache|ache|toothache; worst ~2 @hurt; off the scale|chart|charts; climb|climbing ~1 ~1 walls; can|could not ~3 touch|chew|lie|bite|lay ~8 @hurt; hurts that much; that ~1 painful|sore; in bits ~2 @hurt; screaming ~2 @hurt',
    {
      severity: 9,
    },
  ),
  c(
    'pain',
    'tears in ~1 ~1 eyes; brought tears; tear|tears ~2 @hurt; @hurt ~2 mad|anything|owt|hell|billio|crazy|blazes|rotten; not able to sleep ~6 @hurt; @hurt ~8 not able to sleep; can|could not ~2 sleep|sleeping|slept ~5 @hurt; no|little sleep ~3 @hurt; kept|keeping|keeps me ~2 awake ~4 @hurt; @hurt ~4 kept|keeping|keeps me ~2 up|awake; can|could not ~1 stand|bear|take|cope|bare ~4 @hurt; up|awake all night ~4 @hurt; did not sleep ~4 @hurt; @hurt woke me; woke ~2 up? with|by|from ~3 @hurt; @hurt ~4 can|could not ~2 sleep|touch|lie|chew|eat|bear|stand|concentrate|think|open; painkillers|paracetamol|codeine|ibuprofen|tablets|cocodamol|nurofen ~3 not ~2 touch|touching|working|work|helping|help|shifting|doing|cutting',
    {
      severity: 8,
    },
  ),
  c(
    'pain',
    'hurts|painful|sore|hurting|agony|pain to|when|if ~3 touch|chew|eat|swallow|lie|press|yawn|move|open|touched; jaw ~2 @hurt; @hurt ~3 jaw',
  ),
  c('pain', '@hurt ~2 down to nothing|nil|nowt|zero|none; @hurt free; free of @hurt; painfree; painless', {
    denies: true,
  }),
  c(
    'pain',
    '@hurt|it|ear ~2 sairer|sorer ~3 than ~4 yesterday|before|was; getting|growing|got|gets|becoming ~2 fiercer|nastier|sorer|achier; @hurt ~2 on the increase|rise|up; @hurt ~1 more and more; worse ~8 @hurtnoun; @hurt ~2 going|gone|goes|getting up; @hurt ~3 rising|climbing|ramping|mounting|growing|increasing; @hurt ~2 worse',
    { tags: ['worse'] },
  ),
  // pain elsewhere
  c(
    'other',
    '@elsewhere ~2 is|are|was|giving|bad|playing @hurt|gyp|bad|bother|up; @elsewhere @hurt|pain|pains|ache; @hurt ~2 in ~2 @elsewhere; @hurt ~1 @elsewhere; toothache|stomachache; throat ~2 @hurt; @hurt ~1 throat; neck ~2 @hurt; @hurt ~1 neck; eye|eyes ~2 @hurt; @hurt ~1 eye|eyes; toothache; tooth ache',
    {
      tags: ['elsewhere'],
    },
  ),
  // headache
  c(
    'headache',
    'headache|headaches|migraine|migraines; @headword ~2 @hurt|splitting|banging|thumping|pounding|killing|bursting|exploding; @hurt|splitting|banging|pounding|bad ~1 @headword; @hurt ~2 in ~2 @headword; head ache|aches; terrible|awful|bad|dreadful|thumping|horrendous|shocking head; head ~2 terrible|awful|dreadful',
  ),
  c(
    'headache',
    'worst ~2 headache; thunderclap; sudden ~3 headache; headache ~3 suddenly|sudden; @intens ~2 headache ~2 life; blinding|splitting|unbearable|excruciating|severe|violent ~1 headache; headache ~3 unbearable|blinding|excruciating|severe|worst',
    {
      tags: ['very'],
    },
  ),
  // stiff neck, light
  c(
    'stiff-neck',
    'cries|cry|cried|screams|screamed|hurts|yelps|agony ~6 bend|bending|move|moving ~2 neck|head ~2 forward|forwards|down; stiff|rigid|seized|locked ~1 neck; neck ~3 not ~2 bend|move|turn; neck ~4 stiff|rigid|locked|seized|solid; can|could not ~3 bend|move|turn|lift|put ~2 neck|chin|head; neck stiffness',
  ),
  c(
    'light-hurts',
    'light|lights|daylight|brightness|sunlight ~3 @hurt|unbearable|hurting; can|could not ~1 stand|bear|tolerate|take|look ~3 light|lights|brightness; @hurt ~4 light|lights; photophobia|photophobic; sensitive to ~1 light|lights; light sensitive',
  ),
  // hearing
  c(
    'hearing-loss',
    'can|could not ~2 hear|hearing; not hear|hearing; do|does|did not ~1 hear; unable to hear; not able to hear; never hear; nothing ~2 hear; hear nothing',
    { tags: ['marked'] },
  ),
  c(
    'hearing-loss',
    'hard|difficult|struggling|struggle|struggled|straining|strain|trouble|difficulty|problems ~2 hear|hearing; barely|hardly|scarcely ~2 hear|hearing|heard; hear ~1 barely|hardly|little; hear less|worse; ear|ears ~3 fading|dwindling|failing ~3 bit|slowly|gradually|weeks|months|away; hearing ~6 slipped|slipping|slid|dwindled|dwindling|declined|declining|deteriorated|deteriorating|waned|waning; not hear|hearing ~3 well|right|properly|good|much|clearly; mishearing',
    {
      tags: ['slight'],
    },
  ),
  c(
    'hearing-loss',
    'can|could not ~2 hear|heat|here|heer ~4 thing|anything|nothing|sound|word|sausage|dickie|dicky|bean|ear|ears|side|left|right|all|it|phone|tv|telly|wife|husband|people|me|you; hear nothing; deaf; gone|going|went deaf; stone deaf; deaf|dead|dear|leaf as ~1 post|doorpost|doornail; ear ~1 gone|went dead|deaf|silent|quiet|off; dead|deaf|silent ~2 one ear; left|right|good|other|that one ~1 is|has|gone|went ~1 deaf|silent; no hearing; no sound; nothing ~2 out of ~2 ear|left|right|side; no ~1 hearing ~3 left|right|ear|ears|side; total|complete|sudden ~1 silence; everything ~1 gone|went quiet|silent; cannot hear; emoji-deaf; hearing ~1 totally|completely|all gone|went|lost; like ~1 switch ~3 off; totally lost ~2 hearing; deafened; deafness',
    {
      tags: ['marked'],
    },
  ),
  c(
    'hearing-loss',
    'hearing ~6 disappeared|vanished; hearing ~3 @gone; lost|losing|lose|loses|loss ~3 hearing; sudden ~1 hearing; hearing ~3 suddenly; gone|went|goes my|the|his|her|all ~1 hearing; hearings|hearin ~3 @gone; hearing ~6 packed|went|gone|conked; can|could not ~1 make|catch|pick ~3 word|words|thing|out ~3 say|says|saying|said|people|anyone|them|him|her|word; no longer ~1 hear; good ear ~2 gone; ear has|is gone; ear|ears|lug ~3 stopped|stop|quit ~1 working|work|functioning; unplugged|disconnected ~3 ear|ears; ear ~4 unplugged|disconnected; phone|telephone|telly|radio|tv|sounds|world|everything ~2 dead|silent|gone; phone|telephone ~2 no use ~6 ear; nothing ~2 in|from|out ~2 left|right|ear|side|lug; nothing ~2 on|at ~1 left|right; sudden|big|sharp|steep ~1 drop|dip|fall ~2 hearing; silence; no hearing|sound ~2; hearing ~6 now ~2 none|nothing|nowt; now ~2 deaf; deaf again; lost ~3 ear|side|lug; dropped like ~1 stone; ear|side|lug ~2 is|gone|went ~1 dead|useless|kaput|finished|knackered; ear|ears|side|lug ~4 packed|shut|conked|closed|switched ~1 in|out|down|off|up; ear|ears|lug|side ~3 went|gone ~1 dead|down|quiet|silent|blank; ear|ears ~1 went; faded ~3 nothing|nowt|almost|away; not a whisper|peep; sudden|suddenly ~2 nothing|nowt|silence; sound|sounds ~2 went|gone|cut|died ~3 left|right|side|ear|lug|off|one; someone|somebody ~1 turned|flicked|threw ~2 switch; switch ~2 off; turned ~2 off like|at; hearing loss; loss of hearing; wife|husband|hubby|missus|son|daughter|he|she|they|everyone|everybody|others|people|friend|friends|neighbour|mum|dad|family|kids ~2 hear|hears|heard ~4 but i ~1 can|could|did not; everyone|everybody|others|they ~1 hear|hears ~3 but|except me|i; minute|moment|second ~8 next ~1 nothing|nowt|silence|gone; hearing|hearin ~1 clean ~1 away|awa|gone; hear ~2 less ~8 far|much|lot|way less; lost ~2 hear; ear|ears ~1 have|has ~1 gone; gone ~2 in ~1 one ear',
    {
      tags: ['marked'],
    },
  ),
  c(
    'hearing-loss',
    'hearing ~4 @badhear; duller|dull|duller; hearing ~6 duller|quieter|dull|muffled|worse; hearing ~3 no different|better|change; no different ~2 hearing; hearing ~3 same ~3 before ~2 came|you|procedure|went|appointment|had|in; hard of hearing; muffled|muffly|muffeled|muffling|muffle; @ear ~2 muffled|dull|dulled|muffly; sounds|everything|voices|people|noises|tv|telly|sound ~3 muffled|faint|distant|quiet|dull|far|faraway|mumbling|mumble|quieter; like ~2 under|through ~2 water|cotton|blanket|sock|wall; underwater; turn|turning|turned ~3 tv|telly|television|volume|radio|sound ~2 up; tv|telly|volume|radio ~3 up|louder; everyone|everybody|people ~2 mumbling|mumble|mumbles|whispering',
    {
      tags: ['slight'],
    },
  ),
  c(
    'hearing-loss',
    'hearing ~8 worse|worsened|worsening|deteriorated|deteriorating|poorer; worse ~8 hearing; hear ~2 worse; deafer; more deaf; lost more ~2 hearing; getting|gone|got|going deafer',
    { tags: ['worse'] },
  ),
  c(
    'hearing-loss',
    'hearing ~2 not ~2 back|returned|right|better|improved|normal|great|good|brilliant|clever|wonderful|same|came|come|well|fine|up; not ~2 hearing ~2 back; hearing never ~2 back|returned; never ~2 come|came back ~4 cleaned|you|did|procedure|cleared; struggling|struggle ~2 telly|tv|phone|conversation|conversations; not ~2 got ~2 hearing ~1 back; no better ~3 hear|hearing; hearing ~2 no better|improvement; hearing ~2 not ~3 what it|they was|were|used; hearing ~2 not how|like it|they was|were|used; hearing ~2 used to be ~1 @fine; used to be able to hear',
    { tags: ['slight'] },
  ),
  c(
    'hearing-loss',
    'hearing ~2 @fine; can|could hear; able to hear; hear ~4 sermon|telly|tv|grandkids|kettle|ticking|tick; hear ~2 @fine|everything|pin|lovely|grass|clock|birds|again; hearing ~2 much? better; hearing ~2 come|came back; good|great|better|improved|normal|perfect hearing; hearing ~1 not ~1 affected|changed|bad; not lost ~2 hearing; not really|actually|exactly|yet|noticeably|so lost ~2 hearing; hearing ~1 like ~2 bat|new; hearing ~2 same ~1 ever|usual|normal|always; everything|sounds ~2 loud|louder; no loss of hearing; no hearing loss|problems|issues|trouble|change|difficulty|difficulties; hearing improvement; so much better ~3 hear',
    {
      denies: true,
    },
  ),
  // dizziness
  c(
    'dizziness',
    '@dizzy; emoji-dizzy; light headed|heady|head; funny headed; swimming head; head ~3 swimming|swims|fuzzy|woozy|whirling|spinning; feel|feeling|felt|going ~2 faint; travel sick; motion sick; sea sick; muzzy|muzzy; room ~2 moving|tilting; funny turn',
    { tags: ['light-headed'] },
  ),
  c(
    'dizziness',
    'birling|birlin|birl|birls; room took off; spinning|spins|spinny; funny|bit|dizzy|little ~1 spin|spins; head|room a spin; a spin; everything going round; room|world|everything|bed|head|house|ceiling|walls|floor|things ~2 spinning|spins|spin|spun|going|moving|turning|whirling|revolving|rotating ~1 round?; room|world|everything ~3 round|around; vertigo; like ~3 roundabout|waltzer|waltzers|carousel|merry; spinning|going round ~2 round',
    { tags: ['spinning'] },
  ),
  c(
    'dizziness',
    '@unsteady; off ~2 balance; balance ~3 off|gone|bad|right|terrible|awful|all|shot|lost|poor|rubbish|funny|went|out|worse|dodgy; lost|losing|lose|no|loss ~2 balance; legs ~1 like|are jelly; like ~4 boat|ship|drunk|trawler|waltzers; room|world|everything|floor ~3 tilting|tilt|tilts|tipping|sloping|rocking; jelly legs; walking ~2 drunk|crooked|sideways; feel|feeling|felt ~2 drunk|tipsy; bumping|walking|walked|bump|crashing|banging into ~2 ~1 door|doors|walls|wall|furniture|frames|things|table; lean|leaning|veer|tip|tipping|falling|fall|drifting|pulled ~2 to ~2 side; unsteady ~2 feet|legs; holding|hold|hanging|hang on? ~1 to? ~2 walls|furniture|wall|rail; floor ~2 tipping|moving|tilting|sloping|coming; keep|kept falling|tripping|stumbling; bouncing off ~2 walls',
    {
      tags: ['unsteady'],
    },
  ),
  c(
    'dizziness',
    'can|could not ~3 stand|standing|stood ~1 up|straight|without|alone|unaided|properly|steady|anymore; can|could not ~3 walk|walking ~1 without|alone|unaided|anymore; can|could not stand|walk; can|could not ~1 get ~1 out of bed ~6 @dizzy|spinning; without crawling|holding; can|could not ~1 keep ~2 balance; can|could not ~1 get up ~5 @dizzy|spinning; barely|hardly|scarcely ~1 stand|walk; on ~1 hands and knees; went|going|go|gone|goes straight|right over; keep|keeps|kept falling|going over; dare|daren|darent not ~1 get|stand|move|walk; darent ~1 get|stand|move|walk; fell ~1 over twice|times|again|getting|going|trying; too @dizzy|unsteady ~1 to stand|walk|move|get; unable to stand|walk; crawling ~3 floor|bathroom|toilet|loo|hands|stairs|bed',
    { tags: ['cannot-stand'] },
  ),
  // face
  c(
    'facial-weakness',
    '@face ~4 @droop; @droop ~4 face|mouth|lip|cheek|smile|lips|eyelid; half ~2 face ~2 @droop; side ~2 face ~3 @droop|gone|different|like|wrong; bells|bell palsy; is|got|have|had bells; palsy; face|mouth|smile ~3 wrong|odd|funny|strange|weird|different; face|mouth ~1 gone ~1 funny|odd|slack|numb|dead|tight|stiff|lopsided|wonky; face ~3 rubber|rubbery; @face ~3 to|on one side; @face ~3 not ~2 move|work|moving|working|right|lift|smile|pull|go|budge; eyelid ~4 hanging|hang|hangs|droops; one sided ~1 @face; can|could not ~2 smile|grin|whistle|frown; face|mouth|cheek ~3 hanging|hangs|hung|melted|melting|sliding|slid|slack; @face ~2 pins; pins ~3 ~3 face|cheek|lip|mouth|jaw; side ~2 mouth|face|lip ~2 not ~1 move|work|lift; ran|run|runs|running|dribbles|dribbling|falls|leaks|spills ~4 corner|side of ~1 mouth|lips; corner of ~2 mouth ~4; gob ~4 hanging|wonky|drooping|one|lopsided|slipped; mouth ~2 slipped|slid|hanging; facial ~1 weakness|droop|palsy|numbness|paralysis|drooping; drooling|dribbling ~5 side|mouth|drink|drinking|tea|eating|corner; tea|drink|soup ~3 dribbling|dribbles|running|falls|falling ~2 mouth|side|chin; can|could not ~2 feel ~3 face|cheek|lip|mouth; face|mouth ~2 slack; half ~2 smile',
  ),
  c(
    'facial-weakness',
    'can|could not ~3 shut|close|blink|closed|shutting|closing ~4 eye|eyes|eyelid|lid; can not blink; eye|eyes|eyelid|lid ~6 not ~2 close|shut|blink; eye|eyes|eyelid|lid ~3 not ~2 shut|close|blink|closing|shutting|closed|blinking; eye|eyelid|lid ~3 @droop|stuck; drooping|droopy|dropped ~2 eye|eyelid|lid; eye ~3 half shut|closed; eye stays|stuck|staying open; trouble|hard|struggling|difficulty ~2 closing|shutting|close|shut ~2 eye',
  ),
  // stroke
  c(
    'stroke-sign',
    'words ~2 not ~1 come|form; lose|lost|losing|loses ~1 my|his|her speech|words; speech ~2 went|gone|left|vanished; speaking ~2 hard|difficult|funny|slow|thick; comes|coming ~1 out ~1 thick|garbled|slurred|jumbled; slur|slurs|slurred|slurring|slurry|slured; speech ~3 slurred|funny|gone|jumbled|muddled|odd|wrong|bad|weird|affected|off|mumbled|thick|garbled|strange; can|could not ~2 speak|talk; words ~3 wrong|jumbled|muddled|mixed|funny|slurred|garbled|backwards|out; can|could not ~3 words ~2 out|right; can|could not find ~2 words; talking|speaking|talk|talked|talks|spoke ~2 funny|gibberish|jibberish|nonsense|drunk|gobbledegook|gobbledygook|double|queer|weird; gibberish|jibberish|gobbledegook|gobbledygook; mumbling ~2 words; tongue ~2 tied|thick; trouble|difficulty|struggling ~1 speaking|talking|speech',
  ),
  c(
    'stroke-sign',
    '@limb ~4 weak|weakness|numb|numbness|tingling|tingly|heavy|dead|useless|paralysed|paralyzed|limp|floppy|dropped|weaker|lifeless; weak|weakness|numb|numbness|tingling|dead|heavy|paralysed|limp ~4 @limb; weak|weakness|numb|numbness|tingling|paralysed|paralysis|heavy ~4 one|left|right|whole|that|this|my ~1 side; side ~3 weak|numb|dead|paralysed|limp|heavy|tingling|dropped; @limb ~3 not ~2 work|move|working|moving|lift|grip|responding|obeying; can|could not ~2 lift|move|feel|use|raise|grip ~3 @limb|side; @limb ~1 gone|went|goes dead|funny|weak|numb|limp|to; pins ~4 @limb|side; keep dropping things|cups|everything|stuff; dropping ~1 things|cups',
  ),
  c(
    'stroke-sign',
    'stroke|strokes|tia; mini stroke; double vision; seeing double; see double; vision|sight|eyesight ~3 gone|blurred|blurry|lost|double|went|funny|going|bad|fuzzy; lost|loss ~2 sight|vision|eyesight; blurred|blurry ~1 vision|sight|eyes; can|could not see ~4 eye|left|right|side|properly|anything|straight; gone|went|going blind; blind ~2 one ~1 eye; everything ~2 blurry|blurred|double',
  ),
  // collapse
  c(
    'collapse',
    '@collapse; passed|passing|pass|past ~1 out; passed clean|right|straight out; blacked|blacking|black|blackd out; went|going|gone down like; hit the deck|floor; keeled over; lost consciousness; out cold; had ~1 fit|fits|seizure|turn; having ~1 fit|seizure; found ~3 on ~1 floor; came|come round on; fell|fallen|went down|falling ~2 unconscious; zonked|zonk out',
  ),
  // fever
  c(
    'fever',
    'fever|fevers|feverish|fevered|pyrexia|feaver; emoji-fever; temperature|temp; high|raging|got|running|have|has|had|bit|with|raised|spiking ~3 temperature|temp; touch of ~1 temperature|fever; temperature ~3 high|up|raised|sky|hot|through; burning up; boiling ~1 hot?; burning hot; hot and cold; hot sweats|flushes; shivery|shivering|shivers|shiver|shivry|shivvery|shakes|rigors|rigor|chills; shaking ~1 cold|uncontrollably|violently; hot head|forehead|brow; feel|feeling|felt ~2 hot|roasting|flushed|clammy; roasting; sweating|sweats|sweaty|clammy; night sweats; am|feel|feeling|head|forehead|body|skin ~2 red hot; temprature|temperture|tempreture',
  ),
  c('fever', 'temperature|temp ~2 @fine|down; normal temperature; no temperature', { denies: true }),
  // swelling
  c(
    'swelling',
    '@swell; @ear ~3 @swell; @swell ~3 @ear; glands ~3 up|swollen|raised|sore|big; swollen glands; boil|abscess|cellulitis; @ear ~3 twice|double ~2 size; @ear ~3 balloon|cauliflower|massive|huge|enormous; size of ~1 egg|golf|pea|marble|grape|tangerine|plum|walnut; egg ~3 head|ear',
  ),
  c(
    'swelling',
    'behind|back|below|under ~3 ear|ears|lobe|lug ~5 @swell|red|sore|tender|hot|boggy|throbbing|painful|hurts|egg|hard; @swell|red|redness|tender|sore|hot|bony|boggy|egg|painful|pain|hurts ~5 behind|back ~3 ear|ears|lug|it; behind ~2 ear ~3 @swell; lump|swelling|bulge ~2 pushing|pushes|pushed ~2 ear|lug ~1 forward|forwards|forrard|out|away; ear|ears|lug ~4 sticking|stuck|sticks|poking|pushed|jutting|pushing|standing ~1 out|forward|forwards|away; mastoid|mastoiditis; ear ~2 protruding|protrudes',
    {
      tags: ['behind-ear'],
    },
  ),
  // airway
  c(
    'airway',
    'throat|tongue|lips|lip ~6 closing|swelling|swollen|tightening; throat|tongue|lips|lip ~6 @swell|closing|puffed; throat|tongue|lips|lip ~3 closing|closed|close|tight|tightening|tightened|narrowing|constricted|blown|big|huge|fat|itchy|numb|tingling|thick; @swell|tight|closing|fat ~3 throat|tongue|lips|lip|mouth|windpipe|airway; mouth ~2 @swell; drops|oil|tablet|tablets|antibiotic|antibiotics|allergic ~8 face|eyes ~2 @swell; face|eyes ~2 @swell ~6 drops|oil|tablet|tablets|antibiotic|antibiotics; lips|lip ~4 sausage|sausages; mouth ~2 tingly|tingling ~4 lips|throat|tongue; tongue|lips ~4 huge|massive|enormous; can|could not ~3 @breathe|swallow; unable to breathe|swallow; can|could not ~2 get|catch ~2 breath|air; short|shortness of breath; breathless|breathlessness; out of breath; @hard ~3 @breathe|swallow|swallowing; breathing ~6 dozen|rapidly|nineteen|quick|quickly; breathing ~3 hard|difficult|bad|fast|funny|heavy|laboured|rapid|worse|struggling|tight|shallow; wheeze|wheezy|wheezing; choking; choked; gasping; anaphylaxis|anaphylactic; lump in ~1 throat; throat ~2 closing|close ~1 up; windpipe|airway',
  ),
  // chest
  c(
    'chest',
    'chest ~4 @hurt|tight|tightness|heavy|heaviness|crushing|pressure|squeezing|elephant|hurting|tightening|pain|pains|band; @hurt|tight|tightness|pressure|crushing|heaviness|heavy|weight|band ~7 chest; heart attack; angina; palpitations|palpitation; heart ~3 racing|pounding|fluttering|thumping|irregular|fast|jumping|skipping|hurts|stopping; pain ~3 down ~3 arm; pains ~3 down ~2 arm; crushing ~2 chest',
  ),
  // ringing
  c(
    'ringing',
    '@ring; @ear ~4 @ring|ring|rings|rang|sing|singing|noise|noises|sounds|pulsing|pulsating; @ring|ring|noise|noises|pulsing|thumping|heartbeat|pulse ~3 in|inside ~2 @ear|head; hear ~3 heartbeat|pulse|heart|bells|buzzing; bells ~2 in; kettle ~3 ear; a|the|this|that|constant hum|buzz|ring|whistle|hiss|drone|roar|whine|squeal ~2 in|inside|like|all|now|since',
  ),
  // blocked
  c(
    'blocked',
    '@blocked ~1 up?; bunged up; water ~2 in|inside ~2 ear|ears; like|of|full ~2 cotton wool|wool; cotton wool ~1 in ~2 ear|ears|head; cottonwool ~2 in; feel|feels|feeling|felt ~3 full|blocked|plugged|under ~1 water; ear ~3 not ~2 pop|popped|clear|cleared|unblock|popping|open; needs|need|want to pop; stuffed up; crackling|crackle|crackles|crackly|popping|clicking|clicks|squelching|squelchy|gurgling|squeaking|squeaky; ear ~2 popped|pops|pop',
  ),
  c('blocked', 'unblocked; not ~1 blocked; no|nae ~1 blockage; clear|clearer than', { denies: true }),
  c('itch', '@itch'),
  // nausea, vomiting
  c(
    'nausea',
    '@sickfeel; @feel ~3 @sickfeel; emoji-sick emoji-sick; @dizzy emoji-sick; emoji-dizzy emoji-sick; emoji-sick emoji-dizzy; turning ~1 stomach; stomach ~2 churning|turning|upset; off ~1 food; green round',
  ),
  c(
    'vomiting',
    '@vomit; boaking|boakin|boak|boaked|boke|boked|boking|bokin|spewin; been|being|was|were|is|got|violently|physically|actually|keep|kept|keeps ~1 sick; threw|throwing|throw|throws|chucks|brings|bringing|chucking|chucked|bringing|brought ~2 up; thrown up; heaving ~1 guts; can|could not ~1 keep ~3 down; sick ~2 times|twice|bucket|bowl|everywhere|night|all; spewing ~1 up?; head ~2 down|in|over ~2 pan|toilet|bowl|bucket|loo|sink; emoji-sick; sick as ~1 dog; emoji-sick emoji-sick',
  ),
  // rash
  c(
    'rash',
    '@rashw; allergic ~1 reaction; reaction to; bad reaction; come|came|coming|broke|broken|bring|brings|brought ~1 out in; @ear ~2 peeling|peeled|burnt|scalded; skin ~3 peeling|red|raw|burnt|burning|reacted|irritated|blistered|broken; bright red ~2 ear|skin',
  ),
  c(
    'other',
    '@ear ~3 red|hot|reddened|scarlet|crimson|inflamed|glowing|warm; red|hot|inflamed ~1 @ear; redness|inflammation|inflamed; numb|numbness|numbed|tingling|tingly; pins and needles',
  ),
  // unwell
  c(
    'unwell',
    'unwell; ill; poorly; not ~2 well|myself|right|meself; not ~3 feeling ~3 well|right|good|great|myself|clever|grand|brilliant|too; not ~1 too|so|very good|clever|great|well|grand|hot|special; not ~1 good|great; under the weather; off colour; peaky|ropey|ropy|rough|grotty|lousy|rotten|grim|lethargic|drowsy|wabbit|peelie|peely; wiped|done out; feel|feeling|felt ~2 weak|rough|bad|awful|terrible|dreadful|horrible|funny|odd|strange|weird|peculiar|queer|low|poor; weak|weakness; no energy; no appetite; not ~1 eating|eaten; emoji-ill; exhausted; flu|influenza|covid; infection|infected|infections|antibiotic|antibiotics; gone downhill; going downhill; run down',
  ),
  c(
    'unwell',
    '@intens ~1 unwell|ill|poorly|rough; feel|feeling|felt ~3 awful|terrible|dreadful|horrendous|shocking|hellish|atrocious|hideous; like death; at deaths door; deaths door; death warmed; really ~2 not ~2 well|right|good; can|could not ~2 get ~1 out ~1 bed; barely ~2 move|awake; never felt ~2 ill|bad|rough|worse|poorly; in ~1 bad way; ill ~1 death; can|could not keep awake',
    {
      tags: ['very'],
    },
  ),
  c(
    'sepsis-sign',
    'blue|grey|pale|blotchy|mottled ~3 lips|lip|tongue|skin|fingers|face|hands; lips|tongue|skin|fingers ~3 blue|grey|pale|blotchy|mottled; rash ~4 not ~2 fade|fading|disappear|go; glass test; not making ~2 sense; sepsis|septic|septicaemia; confused|confusion|confuse|delirious|delirium|disorientated|hallucinating|muddled|incoherent; not ~4 passed ~1 water|urine; not ~2 wee|weed|peed|pee ~3 day|night|yesterday|hours; feel|feeling|think|going|gonna|i ~3 going? to? die|dying; meningitis; can|could not ~2 wake ~2 up?; will not wake; talking nonsense; making no sense',
  ),
  // distress and self-harm
  c(
    'distress',
    'in tears; crying|tearful|sobbing; wits end; can|could not ~2 cope; cannot cope; not coping; desperate|desperation; frightened|terrified|petrified|scared|panicking|panicky|panic; depressed|depression|despair|hopeless|suicide; so lonely; breaking down; had enough ~2 everything; at ~2 end of ~2 tether; end of ~1 tether; very|really low; beside myself',
  ),
  c(
    'self-harm',
    'end it ~1 all?; end|ending|take|taking|finish my|me|own|his|her ~1 life; will not be around ~3; not ~1 be ~1 around ~1 much|longer; want it ~1 over|finished|done; kill|killing|top|topping|hang|drown|harm|harming|cut|cutting|hurt|hurting myself|meself|mysel|herself|himself|hisself|themselves|hersel|himsel; cut|cutting|burn|burned|burning|hurt|harmed ~3 arm|arms|wrist|wrists|leg|legs|myself|herself|himself ~4 purpose|deliberately; cutting ~1 arms|wrists; want|wanted|wanting|wish|ready|rather ~3 to? be? die|dead; wish|wished ~3 dead|gone|die; better off dead|without me; do|does|did not ~2 want ~3 be ~1 here|alive|around; do not want to live|wake|go; not want to live|wake; want to end ~1; no point ~3 living|life|going|anymore|carrying|on; not worth living|going; nothing to live for; suicidal|suicide; had enough of ~1 life|living|it|this|everything; can|could not ~2 go on ~2; can|could not ~2 carry on ~3; can|could not ~2 face ~1 another day|night|week|winter; can|could not ~2 face ~2 living|life|day|tomorrow; tired of living|life|being; overdose|overdosed; all ~2 my? tablets|pills ~3 once|end|over; do|doing|done away with; taking|take|swallow|swallowing all ~2 pills|tablets|medicine|medication|meds; tablets|pills ~2 ready; nobody|noone|no-one would ~1 miss|care|notice ~4; point ~2 carrying on|living; carrying on ~3 point; can|could not ~2 live with|like ~4 longer|more|anymore|this; live like this; finish myself ~1 off; join ~2 late ~1 husband|wife; no reason to live|go; better off ~4 i was|were ~1 not|gone|dead; not see ~2 point ~2 anymore|any|in|of|carrying|going; thinking ~2 ending it|things|everything|all; thought|thoughts ~2 ending ~1 it|things|all; take the lot; world ~3 better without; if i was|were not here|around; want it all to end|stop|over; not be here ~2 longer|tomorrow|christmas; sick of living|life; give up on life',
  ),
  // bleeding
  c(
    'bleeding',
    '@blood; @leak|weeping|pouring|poring|coming|gushing ~5 @red; @red ~3 all over|everywhere; fresh|bright red ~2 stuff|fluid|on|blood|discharge|coming|liquid|from|out|spots|drops|doctor; @blood ~3 @leak; @leak ~4 @blood; @red ~3 on ~4 tip|aid|mould|dome|sheet|sheets|pillowslip|towel|flannel|wool; blood|bleeding|bled|bleed|blooded ~3 ear|ears; bloodstained; pillow|pillowcase|tissue|hanky|sheet|towel|bud ~3 red|pink|crimson|scarlet;  bloody ~1 discharge|fluid|ooze|oozing|stuff|gunk|wax|cotton|tissue|pus|pillow|bud|liquid|mess|pillowcase|snot|hanky|water; blood stained; emoji-blood; @red ~2 stuff|fluid|liquid|gunk|goo|discharge|stain|stains|spots|spot|streaks|specks|pillow|tissue|ooze|drops ~1 on?; red ~3 on ~3 pillow|tissue|cotton|bud|pillowcase|hanky; spots|streaks|specks of red; claret; haemorrhage|hemorrhage|haemorrhaging',
  ),
  c(
    'bleeding',
    'dried|dry|old|dark|brown|crusty|congealed|scab|scabby ~2 blood; blood ~2 dried|dry|old|crusted|scab|scabbed; scab|scabs|scabby; blood clot',
    { tags: ['old-blood'] },
  ),
  c(
    'bleeding',
    '@blood|red ~4 pouring|pours|poured|gushing|gushed|gush|streaming|streams|pumping|spurting|flooding|pints|buckets|bucketing|heavily|heavy|profusely|everywhere|soaked|soaking|drenched|fountain|tap|absolutely|masses; murder scene; as quick|fast as ~2 change|changing|mop|wipe; bleeding|bleeds|bled ~2 awful|terrible lot; loads|lots|lot of ~1 @blood; @blood ~1 loads|lots|a lot; pouring|poring|gushing|streaming|pumping|spurting|loads|lots|heavy|lot|soaked|soaking|drenched|covered|masses|pints|heavily|torrent ~4 @blood; pouring|poring|gushing|streaming|pumping|spurting ~5 @red|red; soaked|soaking|filled|gone|going|went|through ~3 towel|towels|tissues|flannel|flannels|cloths|pad|pads|tissue; box ~2 tissues; @blood ~8 keeps ~1 ~1 coming|going|pouring|running; gushing; gushes; pouring with ~2 blood; spotting ~3 ~3 nosebleed; spotting; pouring with|out blood; @blood ~4 cupful|cupfuls|pint|pints|bowl|bucket|bucketful|litre|jug; cupful|pint|bowl|bucket of blood; bleeding ~2 like ~2; bleeding ~2 a? lot|badly|bad|buckets; filled|soaked|gone|going|went|used ~4 tissues|towel|towels|flannel|flannels|cloths|pads ~5 @blood; @blood ~6 soaked|filled|full|through|whole|several|third|second ~2 tissues|towel|towels|flannel|cloths|box|pads|pad|tissue|flannels',
    {
      tags: ['heavy'],
    },
  ),
  c(
    'bleeding',
    'not ~1 clot|clotting|clots; @blood ~5 not ~2 stop|stopped|stopping|stops|clot|clotting|let|easing|ease|slow|slowing|slowed|quit; not ~3 stop|stopped|stopping|stem|stops ~4 @blood|bleeding; can|could not ~1 stop|stem ~3 @blood|bleeding|blood|it ~1 bleeding; @blood ~2 constantly|continuously|nonstop|continuous; @blood ~2 non stop; constantly|continuously|nonstop ~2 bleeding; not stopped bleeding; @blood ~4 hours|hour|ages now?; @blood ~3 all night|day; hours ~5 @blood; will|can|does not stop bleeding; @blood ~2 on and on; @blood ~3 never|wont stops|stop|stopped',
    {
      tags: ['will-not-stop'],
    },
  ),
  // discharge
  c(
    'discharge',
    'bit|still|slightly ~1 damp|wet|moist; damp|wet|moist in there; @ear ~3 coming|comes out; discharge|discharges|discharging|discharged|otorrhoea|dischage|discharg; weeping|weepy|weeps|oozing|oozes|ooze|oozy|oozed; leaking|leaks|leaky|leaked|seeping|seeps|suppurating; runny|dripping|draining; gunk|gunky|gunge|gungy|goo|gooey|gloop|gloopy|goop|slime|slimy; crusty|crusting|crusted|crust|crusts; @ear ~3 @leak|wet|damp|sticky|soggy|moist|soaking|squelchy; @leak ~2 from|out ~2 of? ~2 @ear; @fluid ~3 coming|comes|came|come|trickling|pouring|running|dripping ~2 out|from|of|down; @fluid ~3 @leak ~2 out|from|of|down; @fluid ~2 out of ~2 ear; @fluid ~2 from ~2 ear; wet|damp|sticky|moist ~2 @ear|pillow|inside; pillow ~4 wet|stained|damp|soaked|marks|mess|stain|marked|sticky; stain|stains|marks|mess|wet|patch ~3 on|all ~3 pillow|pillowcase; mucus|mucousy|snot|snotty; sticky stuff|mess; ear ~2 mess|mucky; stuff ~3 coming|came|comes out; wet patch',
  ),
  c(
    'discharge',
    'pus|puss|pussy|pusy|bealing|beelin; septic|infected ~1 discharge; @coloured|@red ~2 @fluid|discharge|gunk|pus|mess|crust|crusts|stain|stains|goo|ooze|leak; @fluid|discharge|discharging|weeping|oozing|leaking|gunk|crust|leak ~4 @coloured; @leak ~3 @coloured; @coloured ~3 from|out|on|off ~3 ear|pillow|ears|tissue|cotton|pillowcase|bud|hanky|hankie|sheet|sheets; thick ~2 @fluid|discharge|yellow|green; @fluid|discharge|it turned ~1 @coloured; custard|cheese|cheesy',
    { tags: ['coloured'] },
  ),
  c(
    'discharge',
    '@smell; @smell ~2 @ear|discharge|stuff|fluid|gunk|wax; @ear ~3 @smell|rotten; bad|foul|horrible|funny|nasty|awful|horrid|terrible ~1 gunk|discharge|stuff|gunge|muck|matter; bad|foul|horrible|funny|nasty|awful|horrid|terrible ~1 smell|odour|whiff|pong; smells ~2; rotten ~1 eggs|fish|meat|smell; like ~2 rotten|fish|drains|cheese|dead ~1 smell?',
    { tags: ['smelly'] },
  ),
  c(
    'discharge',
    'running|runs|dripping|drips ~1 clear; @clear ~2 @fluid|discharge|stuff|liquid|ooze; clear|watery ~3 @leak; @fluid|discharge ~3 clear|watery; water ~3 @leak ~2 out|from; watery',
    { tags: ['clear'] },
  ),
  // Families of pictures and metaphors: whatever is said of face, limb, speech, sight that is out of the ordinary.
  c(
    'facial-weakness',
    'drooping|drooped|droopy|numb|sagging ~2 on|down ~1 one side; @facepart ~5 @odd; @odd ~3 face|mouth|gob|lip|lips|eyelid|eyebrow|smile|cheek; @facepart ~5 not ~3 lifting|moving|working|closing|shutting|coming|going|raising|pulling|moves|works|lifts|closes|shuts|right; @facepart ~3 going|goes|went|pulls|pulling|pulled|moves ~2 left|right|side|sideways; half ~2 me ~2 smiling|smile|grinning; can|could not ~2 blow|puff|whistle|suck ~3 candles|candle|cheeks|tea|out|straw; air comes|came|escapes ~1 out ~2 side; right|left|one side ~1 not ~1 moving|working|lifting; @facepart ~5 not ~3 lift|move|work|go|come|shut|close|pull|rise|up|raise; not ~2 lift|move|raise|work ~3 @facepart; tea|soup|drink|coffee|toast|food ~5 straight|back|dribbles|dribbled|dribbling ~1 out; water ~2 straight|back|dribbles|dribbled|dribbling ~1 out ~3 mouth|side|corner|again; dentist ~4 numbed|numb ~6 side|lip|face|mouth; half ~2 my|the|his|her face; one half ~3 face; side of ~1 lips|mouth|face ~4 lies|lying|hangs|dead|numb|still|slack',
  ),
  c(
    'stroke-sign',
    'wrong|jumbled|muddled words; picking|getting|saying|using|finding ~2 wrong words|word; can|could not ~2 get ~3 sense; no|not ~3 sense ~3 out|from; not ~1 talking ~1 right|sense|straight; called the ~1 ~1 a; @limb ~6 lead|folding|folds|buckling|buckles|asleep|tingles|clumsy|floppy|foreign|buttons|pen|cup; @limb ~2 keeps ~1 folding|giving|dropping|going|buckling; @limb ~2 will|does|can not; half|side|part|bit ~4 looking|see|seeing|vision|view|sight ~4 black|gone|missing|blank|dark; gone black; curtain ~3 eye|vision|sight; two of everything; two of ~1 you; leg|legs|arm|foot ~3 drags|dragging|drag|gave|give|giving|gives|useless; drags|dragging ~2 leg|foot; asked ~3 times what|same; what year ~2; does not ~1 know ~2 where|who|day|year; do|did not ~1 know where|who i|he|she|we|they am|is|was|are; not ~1 know what day|year|month; writing ~2 gone|scrawl|illegible',
  ),
  c(
    'collapse',
    'went|gone|go clean|right|spark out; came to; came round ~1 on|after|and|again; next thing ~2 knew|remember; slumped; dead faint; found ~1 me|him|her|them|myself ~2 on|flat|lying; found slumped|lying|unconscious; i|he|she|just ~1 dropped|went like|down ~2 sack|stone|log; hit the floor|ground|deck|carpet; bad|funny ~3 turn|turns; one ~2 turns; can|could not ~1 rouse|wake|waken ~1; out for the count; lights went out; flaked out; sparked out; lost ~1 few minutes|seconds|time; woke|woken|waking ~1 up? on ~1 floor|lino|carpet|ground|landing|bathroom',
  ),
  c(
    'dizziness',
    'room|world|bed|floor|walls|ceiling|house|carpet|ground|pavement ~3 not ~2 still|stop; merry go round; which way ~1 ~1 up; like ~3 mattress|sponge|marshmallow|cushion|air|pillows|trampoline|deck|ferry|sea; floaty|floating|swaying|drifting; ten|few|two pints; like ~3 had ~3 pints|drink|few; as if drunk; holding|hold|hang|hanging|clinging ~2 on? ~2 radiator|sideboard|wall|walls|rail|banister|bannister|door|furniture|chair|sink|table|worktop',
    { tags: ['unsteady'] },
  ),
  c(
    'dizziness',
    'unable ~2 rise|get|stand|walk|move ~3; tried standing|stand|getting ~4 fell|fall|down; fell straight|right ~1 down|over|back; crawling; legs ~3 go|goes|went|gone|gave|give|giving|buckle|buckled|buckling ~2 way|under|from; let go of ~3; crawl|crawled|crawling|crawls to|on|along|up|about|upstairs|round; on ~1 hands and knees; would|will fall|topple; lying on ~2 floor; can|could not ~2 stay upright|up|vertical; fall|falls|fell|falling over ~2 when|if|as|every|each',
    { tags: ['cannot-stand'] },
  ),
  c(
    'bleeding',
    '@blood|bleeding|running|soaking ~8 as quick|fast as ~2 change|changing|mop|wipe; can|could not ~1 staunch|stem|stanch ~2; tap ~2 not ~2 turn|stop|off ~2 off?; pressing|pressure ~3 not ~2 help|helping|work|working|stop; down ~2 neck|blouse|shirt|collar ~6 towel|through; kitchen roll; soaked|soaking|drenched ~1 red; running|pouring out of ~2 ear ~6 red|soaked|blood; @red ~6 pouring|gushing|pumping ~1 out of; bleeding|blood|bled|bleed ~2 stuck pig; clots ~1 ~1 big|size|large|like; bled|bleeding|bleeds right|straight|clean through; bled through; drip drip drip; soaked ~3 dressing|pillow|sheet|bandage|gauze|mattress',
    { tags: ['heavy', 'will-not-stop'] },
  ),
  c(
    'bleeding',
    'claret; red dribble|dribbles|drip|drips|trickle|trickles|smear|smears|streak|streaks; pinky|pinkish|pink water|watery|fluid|liquid; scarlet|crimson ~3 coming|out|running|on|drip|drips|streak; streak|drip|drips|drop ~2 scarlet|crimson; red ~2 on ~2 finger|fingers|bud|hand|collar|blouse|shirt; clots; cotton ~1 wool ~5 red|pink; it was red|pink; came ~2 red|pink; red ~1 cotton|tissue',
  ),
  c('stiff-neck', 'neck ~2 like ~2 plank|board|iron|rod|poker|wood|concrete|brick'),
  c(
    'light-hurts',
    'can|could not ~1 bear|stand|have ~3 curtains|blinds|daylight|window|sun|sunshine|lamp; curtains ~2 shut|drawn|closed ~4 light|head|hurts',
  ),
  c(
    'fever',
    'body ~2 hot|burning; whole body hot; hot ~2 body; cold clammy|sweats; hot as ~2 furnace|oven|fire|coals|kettle|poker|stove; like ~1 ~1 furnace|oven; forty|thirty ~1 eight|nine|degrees ~2; forehead ~2 like ~2 ~1 bottle|radiator|oven|fire|hot; goosepimples|goosebumps|gooseflesh; teeth ~1 chattering; drenched|soaked|wringing ~1 in|with sweat',
  ),
  c(
    'sepsis-sign',
    'purple|blotches|blotchy|spots|rash ~8 glass; @blotch ~6 not ~2 fade|go|disappear ~3 glass|press|pressed; all floppy; floppy ~1; grey as ~2; white as ~2 sheet; can|could not ~2 rouse|wake ~1; hard|difficult to wake|rouse',
  ),
  c(
    'airway',
    'hardly|barely|scarcely|struggle|struggling ~2 swallow|swallowing|breathe; fighting|gasping|gulping ~1 for ~1 air|breath; gullet ~3 tight|closing|closed|swollen; voice ~2 croaky|hoarse|squeaky|gone ~4 drops|oil|throat|tight|tongue; tongue|tongues|tounge|toung ~4 slab|liver|fat|thick|huge|swoling|swelling|swole|massive|double|big; lips|lip ~5 sausages|balloons|rubber|slugs|fat; chest ~2 whistling|wheezing; throat|gullet ~4 drum|tight',
  ),
  c(
    'chest',
    'breastbone|sternum|ribcage ~4; elephant ~4 chest; chest ~3 paining|pains|aching|squeezed|squashed; @hurt ~4 breastbone|sternum|ribs|ribcage; heart going like; ticker ~3 funny|racing|jumping|playing; down|into ~2 left arm|jaw',
  ),
  c(
    'self-harm',
    'not ~1 be ~2 burden ~3; burden ~3 longer|anymore; saved|saving|hoarded|storing|stored ~3 tablets|pills|medicine; wants|want|wanted|wanting to ~1 ~1 die; driving me to ~2 it; sat|sitting|stood|standing ~2 on|by ~1 bridge|ledge|platform|edge; driving me to; tablets|pills|medicines ~2 lined|saved|counted|stored|hidden|ready; sooner|rather be|am dead; think|thinking|thought ~3 bridge|railway|river|canal|cliff|rope|train; written ~2 letters|letter|note|will|goodbye|goodbyes; go|going to sleep and not ~2 wake|come|back; go to sleep ~2 not ~2 come back; not ~1 wake ~1 up ~1 tomorrow|again|morning; ringing|noise wins|won|beaten; ready to go ~1 now; say|saying|said ~1 goodbye|goodbyes; nothing left|more ~2 live|here; beyond help; be at peace; meet my maker; papers|affairs in order ~6; mean|meaning|ready|going|want|wanting to join him|her ~3 soon|week|tonight|today|now|tomorrow; rope|noose ~2 ready|bought|garage|shed|loft; put ~2 out ~1 ~1 misery; no way out; had it with life',
  ),
  c(
    'hearing-loss',
    'talk|talking|speak|shout|shouting ~6 gatepost|wall|brick|post|doorpost; bricked ~2 up ~4; plug ~2 pulled; like ~3 light ~2 out|off; like ~2 plug ~1 pulled; next ~1 doors house|room; through ~2 wall|floor|door|blanket|pillow; ear|ears|side ~3 blank|dead|lost|kaput|bust|knackered|defunct; hearing ~3 slid|slipped|sunk|dropped|dipped|downhill|plummeted|nosedived; here ing; heard|hearing|hear ~8 overnight nothing; heard|hearing|hear ~6 now|then|suddenly nothing; it went in|over|within ~6 days|day|hours; ceased|stopped ~1 to? hear|hearing|working; stopped hearing; heard|hear|hears ~2 nothing|nowt|half|zilch; sound ~2 just? gone; sounds|sound gone; went pop; pulled ~2 plug; hearing ~8 dropped|gone|packed|went ~2 off|out|in|down; hears ~4 half|less; lost ~1 ~1 sound; hear ~6 no more; can|could not ~3 hear ~5 no|any more; could|can yesterday|wednesday|before ~6 now ~2 nothing|not; one|that|left|right side|ear ~3 went ~4 suddenly|overnight|once|ago; it went in|over|within ~3 day|days|night|week|weeks|hours; gone|went from ~2 to nothing|zero|deaf|silence; gone|went|going ~2 quiet|silent|muffled|dull ~3 ear|side; it went ~3 sudden|suddenly|once|overnight; lost it ~2 over|in|within|suddenly; left|right ear? went ~3 suddenly|sudden|days|weeks|ago',
    { tags: ['marked'] },
  ),
  c(
    'hearing-loss',
    'hearing ~4 downhill|decline|declining|deteriorate|slid ~4; getting worse over ~5; gone|going downhill for',
    { tags: ['slight', 'worse'] },
  ),
  c(
    'swelling',
    'come|came|coming|risen|popped up ~3 behind|round|under ~3 ear|it|lug|lobe ~8; behind ~3 ear ~6 plum|golf|walnut|marble|grape|pea|conker|pebble',
    { tags: ['behind-ear'] },
  ),
  c(
    'swelling',
    '@ear ~4 fat|enormous|tomato|cauliflower|beetroot|balloon|boxers|boxer; fat ear|lug|earlobe; come|came up like|big|red|huge ~3; taxi door|doors',
  ),
  c(
    'discharge',
    'infected ~2 goo|discharge|stuff|gunk|looking; septic ~1 ~1 looking; festering|fester|festered|suppurating|septic|putrid; pea soup; thick like; all matter|pus|muck; matter ~2 thick|yellow|green|coming|running|out; greenstuff|greenish|greeny; coming ~2 out ~3 @coloured; snot|snotty|phlegm|phlegmy ~4 ear',
    { tags: ['coloured'] },
  ),
  c('discharge', 'see through; seethrough; like ~2 runny nose; clear ~1 as ~1 water', { tags: ['clear'] }),
  c(
    'pain',
    'knobs on; what for; bit the|my|into ~1 pillow|sheet|towel|leather|lip|tongue; building up|hour|all|steadily; hour on hour; battery acid; like ~2 acid|bleach|vinegar|fire|knives|knife|needles|glass|daggers; catches ~2 something|me ~1 dreadful|awful|terrible|rotten; climbing up ~1 wall; sawing ~1 ~1 ear ~1 off; chop ~2 off; cut ~2 off; banging my head; screaming|scream|cry|crying ~2 with|from ~1 pain|it|agony; weeping ~1 with|from ~1 pain|agony; still crying',
    { severity: 8 },
  ),
  c(
    'ringing',
    'high pitched|pitch ~3; pitched whistle|noise|sound|tone|squeal; whistle ~2 in ~2 left|right|ear|head|it; heartbeat|pulse ~3 in|ear|ears|head; kettle|bees|wasps|crickets|cicadas|grasshoppers|aeroplane|engine|hoover|sea|waterfall|fridge|bells ~5 in ~2 ear|ears|head|lug; hears ~2 heartbeat|pulse|humming|noise',
  ),
  c('blocked', 'marshmallow|plug|cork|bung|cotton|wool|pea|bean ~4 in|down ~2 ear|there|it|lug'),
  c(
    'other',
    'skin ~4 red|flaky|dry|raw|peeling|cracked|inflamed|sore; flaky|flaking|scaly|cracked skin; a bit red and',
  ),
  // injury, foreign body, drops where they must not go
  c(
    'injury',
    'fell|fallen|fall|falls|tripped|tumble|tumbled; poked|jabbed|stabbed|scratched|pierced|punctured|nicked|caught|cut|hit|banged|bashed|knocked|whacked|grazed ~3 ear|ears|head|eardrum|drum|canal|inside; burst|bursted|popped|perforated|ruptured|torn ~2 eardrum|drum|ear; eardrum|drum ~3 burst|gone|popped|perforated|ruptured|torn; think ~4 perforated|burst|damaged; damaged ~2 ear|ears|drum|eardrum; cotton|tip|bud|dome|battery|piece|bit ~4 stuck|left|lost|broken|broke|came|come|snapped ~3 ear|inside|in|off; something stuck ~3 ear; stuck ~2 in ~2 ear; insect|fly|spider|moth ~4 ear; cotton buds|bud ~3 too far|deep|pain',
  ),
  c(
    'contraindicated-drops',
    '@put ~4 drops|oil|bicarb ~8 @hole; @hole ~10 @put ~4 drops|oil|bicarb|them|it; drops ~4 (in|into) ~4 @hole; you|they|nurse|doctor|told|said ~5 not to ~3 drops ~5 but|and i did|have|put|used|still; should not ~2 put|used|have ~3 drops ~3 but|and; drops|it|them ~4 wrong ear|side; wrong ear',
  ),
  c(
    'other',
    'something ~2 wrong; gone wrong; not ~1 right; trouble swallowing; taste ~3 drops|oil; drops|oil ~6 throat|mouth|gullet; sore throat; swallowing; lost|losing|no ~2 taste; taste ~2 gone|metallic|funny|odd|strange; metallic taste; cough|coughing|coughs; cold sore; cold ~1 coming; got|have|had|has|heavy|bad|stinking|head ~1 ~1 cold|colds|flu|chill; nosebleed|nosebleeds; diarrhoea; sensitive ~2 noise|sound|sounds|loud; noises ~2 hurt|loud; too loud; echo|echoing|echoey|echoes; pulsing|pulsating|pulse; feels ~1 weird|odd|strange|funny|peculiar|off',
  ),
]

/** Phrases whose words mean no symptom at all; they hide their words from the lexicon above. */
/** These hide their words whatever longer phrase they stand in. */
export const HARD_MASKS = `hearing is ~1 no worse; that|this|your|them bleeding parking? meter|machine|bus|computer|weather|government|council|printer; can|could not fault ~2 hearing; to drain it|them; bloody brilliant|marvellous|lovely|great|good|wonderful|fantastic|amazing|excellent|magic; cab|taxi|bus rank; get ~2 head tilted|back; peep|whisper out of it|him|her|them; painful part|bit; out in ~1 bits|pieces|chunks|one|clumps|flakes|dribs; came|come|comes|coming|fell|fallen|popped|slid|washed|it out in ~1 bath|shower|basin|sink|towel; edge of ~2 bed|chair|sofa|settee|seat|town; water tablet|tablets|pill|pills; easy peasy; ow bist|do|am|are; canny good|grand|fine|well|job; not ~1 lift|bend|fit|work well; ring|phone about nothing; buzzin|buzzing with it|joy|happiness|excitement; frightened the life; scared witless|silly ~1 by|of|with; nearly|almost ~2 heart attack|failure; heart attack|failure when ~2 phone|doorbell|bell|kettle|alarm|toast|radio|telly|post; gave|given|giving me heart failure; worse than me|my mother|mum|mam|wife|husband|kids; it|card|map|bottle|aid|phone ~2 upside down; it|kettle|pan|water|eggs boil|boils|boiling; daft lump; great lump of; murder one|mystery|story|book|novel|mysteries; suspense ~1 killing me|us; bunion|bunions ~4 giving|gives|gave me gyp|jip|grief|hell; knee|knees|hip|hips|back|feet|legs|shoulder|bunion|bunions ~2 killing me|us; knee|knees|hip|hips|back|shoulder ~2 playing ~2 up ~1 something ~1 rotten|awful|chronic|terrible; see you at two; to die for; hear|heard|hears|hearing ~2 gurdwara|temple|school|wedding|cathedral|chapel|abbey|sleigh bells|bell; hear|heard|hearing ~4 through ~1 wall|walls|door|floor; bloody miracle|miracles|genius|star|angel|legend|magic|wonder|saint; driving|working|work|bus|cab|lorry|meeting|church|library|train ~5 so|and can not talk|speak; can not talk|speak long|right|just|till|until|at|on|as ~2 now|work|phone|moment|later|six|five|signal|driving; for better or ~1 worse; stubborn ~1 lump|plug|bit|bits|so; an|one|half|1 hour ago; no|not|nor|or|without|any|zero ~1 colour|color; kill|kills|killing me ~2 how; came|come|comes to you|see|your|the|clinic|my|us; deaf as ~3 last|other week|month|year|day; no|not ~1 change for the worse|better; dentist ~1 hurts|hurt; blood ~3 count|counts|results|group; my blood ~2 not ~1 right; killed|kill for ~1 a|an|some; killing time; something rotten; deaf as ~3 i was|were; deaf as ~2 before; hand|hands|they ~2 shake|shakes|shaking|shaky ~3 drop|bottle|much|that|bit|too; murder a|an; could|would|can murder; dead on ~2 feet; not bad not good|great; not good not bad; my heart|hearts stopped|sank|leapt ~2 when|at; dizzy from ~1 dancing|laughing|spinning|joy; dry|clean|clear|fit|right|sharp as ~1 a|an ~1 ~1 cracker|bone|whistle|bell|fiddle|ninepence|tack|button|pin; cry|cried|crying|weep|wept ~1 happy|joy ~1 tears?; happy ~1 tears|crying|cry; bleeding|bleedin|blooming marvellous|marvelous|brilliant|lovely|great|good|wonderful|obvious|heck; murder on ~1 my|the|our ~1 pillowcases|pillowcase|pillow|sheets|nails|bedding|collar; temperature ~1 in|of ~2 pool|room|house|water|bath|drops|oil|fridge|car; dizzy with ~1 excitement|joy|delight|success; clots|clot ~1 in ~2 leg|legs|lung|lungs; texts|messages|reminders ~1 turn; flu|covid|pneumonia|shingles ~1 jab|jabs|vaccine|booster; hearing aid|aids|aide; blood pressure; blood thinner|thinners|thinning|thiner; blood test|tests; blood sugar|sugars; deaf as posts; killing|killed ~1 myself|me|ourselves laughing; alive and kicking; stinking cold; great|big|good|huge ~1 lump|plug|dollop|chunk ~3 out|slid|fell|came|come; half of them; phone|it ~2 keeps buzzing|ringing; hot water bottle; kettle|bath ~2 boil; eye clinic|test|hospital`

export const MASKS = `
hurting|hurts|painful|sore|pain is my ~1 wallet|pocket|purse|pride; weep|cry|weeps at ~1 every|films|film|weddings|adverts; happy weep; ears ~2 burning ~8 talking|gossiping; nothing worse
worried|afraid|scared|nervous ~1 it|i|that ~1 might|would|will ~6 but ~2 never ~1 did|happened|came; worried|afraid|scared|nervous ~1 it|i|that ~1 might|would|will ~6 but nothing; i|we do not touch it|them|there; all|it|lot|bottle|most|half ~1 went|gone|ran|goes ~1 down ~2 sink|cheek|drain|floor|plughole|chin|carpet; head ~1 tilted|tilting|tilt ~2 for|to|over; dry as ~3 cracker; deaf ~2 when it suits; without ~3 asking|saying ~4 repeat|pardon; no change for the worse|better; only pain ~2 is ~1 mother|wife|husband|neighbour|bill|parking; half ~2 face ~1 covered; stroke club|group|ward|association|unit; rushing ~1 for|to|about|off|round|around|out|home|here; nothing ~1 for ~1 blood; noise|din|racket|sound ~4 killing me; used to how loud; my tinnitus|ringing is no different|worse; tinnitus|ringing ~2 is|are ~1 no different; not a peep; fitted last year|month|summer|winter|spring|autumn; grommets|grommet|tubes|tube|aid|aids ~4 fitted; can|could not see it; discharged from|by; telly|tv|radio|wireless|volume ~1 turned|turn down; mithered|bored|tickled|pestered to death; can|could not whisper ~3; full answer|answers; nowhere|nowt near as bad|sore|painful; heads spinning|spins ~2 with|from|over|by; fine|ok|good|grand apart from|except|bar ~2 wax|waxy; dodgy ~1 heart|valve|knee|hip|back|ticker|shoulder; only ~1 hole ~4 sock|pocket|bucket|roof|purse; allergic to ~1 housework|exercise|mondays|hoovering|cleaning|washing|ironing|work|spiders; sounds a treat; dead beat
when|what or what for; or what for; know|tell|tells|remember|say ~3 what for; to drain it; nothing in ~1 ear department; ear department; softer well; something chronic; fingers frozen; temp|temperature ~2 pulse; got|get muddled ~1 and did|put|done
pop|pops|popping|click|clicks|clicking|crackle|crackles ~4 when|if ~1 i? yawn|swallow|chew|eat|blow; clicks|pops and pops|clicks ~3 when ~1 yawn|swallow|chew|eat; dull ~1 ache|pain|throb; tickled pink; killing it; tap ~2 dripping|drips; pain ~1 parking|park; dont|not know what ~2 say|mean; had|have|got to turn; turn|turned|turning ~2 telly|tv|radio|volume|television|wireless ~2 down; can|could not stand the|this|that|any|how|him|her; worse luck; brown|yellow|dark|orange|black ~1 wax ~1 on|off|from|out ~2 cotton|tissue|bud|pillow|hanky|towel|tip|dropper|ear wool?; brown|yellow|dark|orange wax ~3 cotton|tissue|bud|pillow|hanky ~1 wool?; wax ~6 brown|dark|yellow|orange on ~2 cotton|tissue|bud|pillow|hanky|towel wool?; hear ~3 word ~4 worse luck; smile on my face; ear to ear; face lit up; went|gone|go|slipped clean|right|straight out of my|me|mind|head|noddle; wax ~6 came|come|coming|comes ~2 brown|dark|yellow|orange ~4 wool|tissue|pillow|bud|hanky?; brown|dark|yellow|orange bits ~4 tissue|wool|pillow|bud|hanky|towel?; knee|knees|back|hip|hips|shoulder|foot|feet|toe|ankle|elbow|wrist|thumb|leg|legs ~4 giving|gives|gave ~1 me? ~1 gyp|jip|grief|bother|trouble|hell|jyp; back|knee|hip|shoulder ~2 playing ~1 up; falling about laughing; hear|hearing|heard ~2 pin|pins ~1 drop|dropping; give|gives|gie us|me a bell|ring|buzz|call|tinkle; like ~2 telly ~3 turned up; worried sick ~2 nothing
killing time; before|when|till|until ~2 turn|turns in; can|could not wait ~3 hear; weak ~1 immune|immunity; fingers ~2 too fat|big|old|thick|stiff ~3 buttons|keys|phone|screen; threw|throw|chucked ~3 out|away|bin|bottle; not|no good ~1 with|at ~2 texts|texting|phones|phone|technology|this; arthritis ~2 playing|bad|giving|sore; giddy|dizzy with delight|joy|happiness|excitement; coming|came|comes|come out in ~3 crumbs|bits|flakes; full one|two|three|four|lot; running a temp|temperature|fever; fit her|him|them|us in|on; bus|coach|van|car|train|lift|boiler ~4 broke|broken down; scratch that; one as ~1 dropped off; dropped|nodded|drifted off ~1 in|on|to|at|asleep|again|before; drop|dropped|drops more|most|half|some|it|them on ~1 floor; fit for nothing|bed|purpose; messy ~1 on ~2 pillow|collar|towel|shirt; deaf softer|looser|squishier|better; near ~2 ears|ear ~2 knife; under the knife; tales|stories of ~5; waxy smell|whiff|pong; smell|smells|whiff ~3 waxy; swimmingly; will|going|gonna ~3 out for the count; lying|lie|lay|laid on ~2 floor ~4 head|side; kids|children swimming; only saw|seen one|two|three; not hear of ~2; switch|switched|turn|turned ~2 telly|tv|radio|light ~1 off; phone|timer|alarm|clock ~3 buzz|buzzes|buzzed|beep|beeps; warden|bell|door ~1 buzz|buzzed; moving|moved|move house|home; it|that|there turned out to be; worse than ~2 cat|dog|kids|bairns; came|comes|come to her|him|me|us|them|see|do|visit|give|put; passing out parade; ran|run|running out of time; full ~1 days|weeks|course|minutes; telly|tv|radio|music|noise|racket killing me; head ~2 spinning|spins|span|spun ~1 at ~2 bill|price|cost|fee|charge; nothing in ~1 left|right|other ~3 as|like you|told|instructed|advised; killing me ~1 lying|sitting|waiting|staying|keeping|holding; killing me not knowing|being|able|to; only thing ~2 hurt|hurts ~2 charge|bill|price|cost|fee|wallet|pocket|parking; no more dizzy|wobbly|sore|deaf than ~1 ever|usual|normal; bleeding marvellous|lovely|brilliant|great; eyes bleed; head|heads in a spin with; deaf to my|his|her ~2 when; flu jab; doors hiss; worried sick; sick over nothing; laughed|laughing ~6 hurt|hurts|ached|aching; dizzy with ~1 excitement|joy|happiness|delight|success|choice; sick as ~1 parrot; murder ~2 cuppa|tea|pint|curry|brew|bacon; could murder ~2; turned|turn ~1 deaf ear; falling over myself|themselves; deaf old bat|bugger|goat|devil; bloody marvellous; ears ~1 burning; bank balance ~6 pain; brown|yellow|dark|orange ~1 bits ~2 on|of ~2; legs|arms ~1 aching; gooey wax; tom foolery; dying to ~2; dying for ~2; to die for; sick of ~1; sick and tired; fed up; sick to death; tired of ~1 waiting|these|this
go|went|going|gone|take|out for ~1 spin; spin ~1 class|dryer|cycle; went|gone|go ~1 ~1 out of my|me|mind|head|noddle; lump of lead|sugar|coal; sick note|notes|leave|pay|visit|bed; off sick; sick joke; worried sick
pain in the neck|backside|bum|arse|bottom|butt|proverbial|rear|ass; a pain to get|do|put|use|book|park|fit|remember;such a pain; bit of a pain to; a|right|real|royal pain to|trying|putting|doing; being a pain; be a pain; painstaking; dry as ~1 bone|dust|desert; bone dry; steady as ~1 rock; allergic to ~1 housework|work|exercise|cats|mornings|ironing|gardening|cooking; not touched ~1 drop; rough ~1 go|time|night|ride|old; pains me to; growing pains; on pain of; what a pain
bloody drops|things|thing|nuisance|weather|phone|phones|computer|clinic|bus|traffic|cat|dog|kids|government|hell|good|great|marvellous|brilliant|fool|idiot|stupid|nightmare|oil|bottle|dropper|machine|text|texts|messages|system|appointment|appointments|ridiculous|useless|awkward|fiddly|tv|telly|cold|hot|time|well|lovely|wonderful|awful|brill|silly|minded|murder|people|neighbour|neighbours
blood pressure ~1 tablets?|pills?; blood thinner|thinners|thinning|thiner|thinnner|thiners ~1 tablets?; blood test|tests|results|tested; blood sugar|sugars; blood tablets; blood count|group|type|clinic|donor; flesh and blood; in cold blood; blue blood; blood orange; blood relative|relatives; own flesh
head spinning|spins with all; head ~2 spinning|spins ~2 with|from|over|by ~4 messages|texts|forms|questions|info|information|instructions|dates|times|all|it|appointments; spinning plates; spinning class|wheel|wool; spin class; washing ~4 spin|spinning; spin cycle|dryer; go for a spin
room temperature; body temperature; temperature of ~2 oil|drops|bottle|room|water|house; took|take|taken|taking|check|checked ~2 temperature; temperature outside|today|dropped|outdoors; warm ~3 drops|oil|bottle ~3; warmed ~4; hot water bottle; hot water; hot weather; hot day; hot drink; hot chocolate; hot meal|dinner; hot outside|today|here|out|summer; boiling outside|today|kettle|water; boiling hot weather|day|outside|today|water; weather|heat|knees|knee|feet|hip|back|legs|arthritis|shoes|shoe|bunions|corns ~1 is|are killing me; killing me ~2 laughing; weather ~3 hot|boiling|roasting|cold|warm; red hot poker; cold outside|today|weather|here|out; chill out; chilled out; hot cross; hot pot; hotpot
drops|oil|it|they|them|most|some|half ~2 run|runs|ran|running|leak|leaks|leaking|leaked|dribble|dribbles|dribbled|trickle|trickles|drip|drips|dripped|dripping|spill|spilt|spilled|pour|came|come|comes|coming|drain|drained|drains ~1 out|down|back|straight|everywhere; drops|oil|most ~1 went everywhere; some ran ~2 neck|face|chin|cheek; running|ran|runs down ~1 neck|face|chin|back|collar; oil ~3 on|over ~3 pillow|pillowcase|sheets; oily|greasy|oil ~2 pillow|pillowcase|hair|towel|ear|ears; running out of; run out of; ran out of; running late; run late; out of breath running; runny nose; nose ~2 running|runny|runs; runny egg|eggs; running around|about|errands|water|smoothly|well|fine|low; dripping tap
wax ~4 come|came|comes|coming|dripping|running|oozing|leaking|pouring|fell|falling|dropped|popped|out ~1 out?|away?|loose?; bits|lumps|lump|bit|chunk|chunks|piece|pieces|dollop|blob|load|loads|lot|lots|flakes|crumbs|crumb ~2 of ~2 wax|muck|earwax ~3 came|come|out|coming?; lump|lumps|bits|plug of ~1 wax; brown|yellow|dark|orange|black ~1 wax; wax ~3 brown|dark|yellow|orange|black; runny wax; sticky wax; crusty wax; wax ~2 runny|sticky|crusty|soft|gooey|mucky; ear wax|waxes; waxy; wax
smell|smells|smelling of ~2 olive|almond|oil|drops|lavender|roses|chips|curry; smells|smell ~1 lovely|nice|like ~1 chip|salad|almonds|chippy|kitchen|marzipan|restaurant; drops|oil|stuff|bottle ~2 smell|smells|stink|stinks|pong|whiff|stinky|smelly; stinking ~1 rich|hot|cold; sense of smell; smell ~2 roses|coffee|rat|bacon; bacon ~3; salad dressing
ring|rang|rung|phone|phoned|call ~1 you|me|the|them|up|back|us|clinic|surgery|reception|my|tomorrow|later|him|her|in|before|to|for|if|on|when|round|about|again|and; ringing you|me|them|us|clinic|surgery|reception|round; be|stop|keep|keeps|started ringing ~1 me|you|us; phone ~2 ringing|rang|rings|ring; give ~2 ring|bell|buzz|tinkle; wedding ring; ring road; rang bells; ring ring; ring true; ring a bell; ringing off; door bell; doorbell|doorbells|bell ~1 rang|ringing; alarm ~3 ring|ringing|rang|buzzing; buzz off; buzzing ~3 happy|excited|see; buzzing with; humming along|a; whistle|whistling ~2 kettle|tune; kettle ~2 whistling|whistle; clock|fridge|boiler|heating|washing ~2 ticking|humming|hum|hums|buzzing|tick; hear ~6 humming|ticking|buzzing|hum; bleeding obvious|hell|nuisance; that|this|the|my|me|every bleeding morning|thing|things|cat|dog|weather|phone; crying ~2 out; cat|dog|baby ~1 crying
hear|hearing from|back|about|of|news|your|that ~1; hear ~2 from|back; heard from|back|nothing|about|of|that; heard ~2 back; good|lovely|nice|glad|sorry|pleased|great|dying|waiting|look|looking ~2 to ~1 hear|hearing ~2; selective hearing; hearing test|tests|clinic|loop|check|centre|dog|appointment|protection|people|specialist; hear hear; like|love to hear; will|would hear; hear ~1 you are; hear the last; did not hear ~2 alarm|phone|door|doorbell|bell|postman|text|message|you|call|what|it|kettle|timer; never heard ~2; not heard ~4; have not heard ~4; hear ye; i hear you
fall|fell|fallen asleep|behind|in|out|through|apart|ill|off|over ~1 laughing?; fell|falls|fallen|falling ~3 out|away|off|asleep|through; falling behind|asleep; the fall; autumn fall; rain|snow fall; night fall; bottle|dropper|drops|phone ~3 fell|fallen|falls|falling|dropped
dropped|drop|drops|dropping ~2 in|off|by|round|line|note|you|the|me|my|us|them|it|bottle|dropper|phone|parcel|into|each|twice; dropped ~3 bottle|phone|dropper|it|lid; drop in; a drop of; eye drop|drops; ear drop|drops; nose drop|drops; drops; eardrops|dropper|droppers|drop; lip service; face to face; face time|facetime; face ~1 it|facts|cream|mask|wash|masks|paint|cloth|towel|cloths; two faced; in your face; familiar|friendly|happy|smiley|old ~1 face|faces; mouth to|watering|organ|wash; mouthful|mouthwash; smiling; eye drops; eyes peeled; keep|keeping|kept ~2 eye|eyes|eye ~1 on|out|open; eye test|clinic|hospital|appointment|specialist|op|operation; cannot see ~2 why|how|to|the|anyone|point|reason|you|myself|label|writing|screen|glasses; see ~2 to|you|what|how|why|if|label|bottle
light|lights ~1 of|bulb|switch|on|off|out; light reading|lunch|meal|supper; turn ~2 light|lights; traffic lights; christmas lights; in light
knee|knees|back|hip|hips|leg|legs|foot|feet|toe|toes|ankle|ankles|elbow|shoulder|shoulders|wrist|wrists|finger|fingers|thumb|bunions|corns|arthritis|sciatica|rheumatism|joints|lumbago|backside ~3 @hurt|bad|terrible|dreadful|awful|rubbish|playing|worse|gyp|murder; bad|sore|dodgy|gammy back; @hurt|bad|terrible|dreadful|awful|dodgy|gammy ~2 knee|knees|hip|hips|shoulder|foot|feet|ankle|elbow|wrist|joints|thumb; arthritis|backache|rheumatism|sciatica|lumbago|gout; sore subject|point|loser|thumb; sight for sore eyes; sore eyes; bored stiff; scared stiff; stiff drink|breeze|upper; stiff ~2 lid|bottle|cap; frozen stiff; neck of ~2; neck and neck; up to ~1 neck; breathing down ~1 neck
back to|at|in|from|on|home|soon|again|later|tomorrow|with|by; ear infection clinic; play it by ear; preferred|prefer|rather|better|easier ~1 being|be|when ~2 deaf; can not complain; can not grumble; by ear; all ears; wet behind the ears; in one ear ~4; ear to the ground; up to my ears; lend ~1 ear; music to ~2 ears; music ~3 ears; dog ~1 ears; ears burning|pinned|pricked; ears must be burning; ear ache of; ear bashing; earful; bend ~2 ear; keep ~2 ear out; out on ~1 ear; hand to mouth; hand in hand; on the other hand; other hand; to hand; by hand; give ~2 hand; hand|hands full|free|up|steady|shaky|shake|arthritis|bad|stiff; back on ~2 feet; arm and ~1 leg; arm in arm; pull|pulling ~2 leg; on ~1 last legs; long arm; arms full; chest of drawers; off ~2 chest; medicine chest; treasure chest
for ~1 heart; heart tablets|pills|medicine|clinic|checkup|nurse; brain like ~1 sieve; brain ~1 fog|teaser|training; rack my brains; hard|hot|cold as ~2 hobs|hell; hell of|hath|bells; hearty of|thanks|warm|felt|goes|sink|set|out|full|breakfast|for|you|content ~1; with all ~2 heart; by heart; heart's content; sweetheart; heartfelt; heart failure ~2 clinic; bless ~2 heart; from ~2 heart; take heart
breath of fresh; do not hold ~1 breath; hold|holding ~1 breath; bated breath; under ~1 breath; breathing space; save ~1 breath; catch ~1 breath; breath test; bad breath
stroke|stroked|stroking ~2 cat|dog|luck|genius|midnight|pen; different strokes; at a stroke; at the stroke
weak tea|coffee|moment|signal|excuse|spot|joke|bladder; weekend|weekends; heavy traffic|rain|shopping|bag|snow|sleeper|going|duty|weather|bags|cold?; dead easy|good|on|line|simple|pleased|chuffed|quick|busy|nice|sure|battery|phone|tired; drop dead; dead of night; dead on time; over my dead; phone ~3 dead|died|battery; battery ~2 dead|died|gone|flat; numb bum; tongue in cheek; cheek of; cheeky; cheek; bit my tongue; slip of the tongue; cat got; tongue ~1 twister; mother tongue
confused|confusing|muddled|confuse|confusion|mixed ~1 about|by|with|which|what|when|how|over|whether|up ~3; confused|muddled as to; confused ~2 your|texts|messages|instructions|dates|times|the; bit|little|slightly confused; confused myself; messages|texts|instructions|leaflet|label ~3 confusing
panic over; no panic; do not panic; do not want to panic; scared of ~1 needles|dentist|heights|flying; scared ~2 to|of ~2 miss|bother|forget|dark; not scared|frightened|worried; tears of joy|laughter; crying with laughter; laughing ~2 crying; crying shame; shed a tear; cry wolf; wits about; desperate for ~1 cup|cuppa|tea|loo|wee|holiday; desperate to ~1; desperate ~1 housewives; hopeless at|with; murder ~2 mystery|book|programme|she; itching to|for; itchy feet; tickle|tickled pink; tickled; not my cup
cold cup|tea|drink|water|snap|spell|shoulder|turkey|day|morning|night|hands|feet|house|drops|oil|ones|when|straight; drops|oil ~3 cold; too cold; cold callers?; bit cold; freezing cold
under ~1 pressure; pressure cooker|washer|group|sores?|stockings; peer pressure; no pressure; high pressure ~2 weather; tyre pressure; full ~1 of|time|day|bottle|moon|stop|house|name|english|course|week|on|marks|dose|steam|amount|weekend|diary|dropper|up|swing; in full; full up; belly full; hands full; blocked number|numbers|drain|sink|road|toilet|it|you; road ~2 blocked|closed; calendar|diary ~3 full; stuffed ~2 full|face|dinner|turkey|peppers; popped|pop ~1 in|out|round|to|down|over|into|by|up|it|them|one|some|the|my|in ~1; pop ~1 some; ear pops when ~1 flying|plane; burst pipe|pipes|into|tyre|out ~1 laughing|singing?; on the pop; popping in|out|round|over|to|down|into|by
poor old|thing|you|me|dog|cat|soul|weather|signal|reception|eyesight|memory; ill will; ill fated; off ~1 food bank; off colour joke; rough idea|guess|and ready|edges|sea|seas|weather|crossing|estimate|diamond|time; roughly; rough around; low on|fat|cost|key; high ~1 low; bad at|weather|traffic|signal|line|reception|luck|language|news|hair|memory|idea|penny|egg|for; not bad for|at|considering; too bad; not ~1 bad ~1; bad boy; feel|feeling|felt ~1 bad|awful|terrible|guilty about|for|that|but|because|i|bothering|asking|missing|forgetting ~2; feel ~2 funny ~1 about|asking; smear|stuff|stuffs and nonsense; hot stuff; good stuff; all that stuff; stuff to do; do my stuff; the stuff; this stuff; that stuff; other stuff; some stuff
kiss; infection clinic; covid ~2 jab|booster|vaccine|vaccination|jabs; flu ~1 jab|vaccine|vaccination|jabs|clinic; winter flu; cut ~2 grass|lawn|hedge|hair|out|it|them|down|price|back|off|long|flowers|cake|short|sandwiches; hit ~2 shops|nail|roof|road|town|sack|hay|sales|spot; caught ~2 bus|train|cold|up|traffic|on|out|you|me|by|fish; knocked ~2 off|over|out|bottle|down|on; banged on|out|it; something ~1 wrong ~2 with|about ~2 phone|website|link|computer|text|texts|system|message|app|telephone|internet|wifi; wrong ~1 number|person|date|day|time|name|address|text|clinic|end|way|one|link|message; not right now; not right away; right now|away|then|so|o|oh|enough|thing|time|day|place; all right; alright; not right ~1 number|person|date; ok right
stabbing ~2 in the dark; shooting|shoot ~1 off|star|match|season|pool|breeze; raw onion|carrot|fish|veg; burning ~1 question|toast|candle|dinner|logs|rubbish|sun; burnt ~2 toast|dinner|cake|tongue|sausages; burns night; sting in the tail; stung ~2 by ~1 price|nettles|wasp; hang|hanging ~1 on|up|out|around|about|washing|in|fire; hurt ~2 feelings|pride|wallet; would not hurt; will not hurt ~1 to; does not hurt to ~1 ask|try|be|keep|check; no harm; hurt a fly; not hurt anyone; cannot hurt; watery eyes; watery grave|tea; wet weather|day|outside|week|morning|hair|wipe|room|rag|summer|through|and windy|again; raining ~1; damp squib|weather|cloth|house|day|flannel; sticky toffee|tape|label|fingers|bottle|wicket|weather|note|notes|situation|lid; crust ~1 of|bread|pie; leak ~1 in ~2 roof|kitchen|bathroom|boiler|ceiling; roof ~2 leaking|leak; tap ~2 leaking|dripping; boiler ~3 leaking|gone|broken; leaking pipe|roof|tap; leek ~1; bottle|dropper|nozzle|pipette|lid|cap|pump ~3 leaks|leaking|leaked|leak|broken|broke|dripping|drips|spray
heavy handed; light hearted; light heart; lightweight; swimming pool|lesson|lessons|trunks|club|baths|gala; go|going|went|swim|been ~1 swimming; off to swim; travel sick pills; drunk ~1 my|the|a|some|it|too|all ~2 tea|coffee|water; balance ~2 of ~2; bank balance; balance due; work life balance; boat trip; boat ~2 holiday; sleep like; slept like ~1 log|baby; like a log; out like a light; sound asleep; sound|sounds good|great|fine|lovely|ok|like|right|perfect|about|a; off|went to sleep; fell sleep; bed time
collapsed into|on ~2 bed|chair|sofa|armchair|heap; collapsed ~2 laughing|laughter; faint ~1 idea|hope|praise|heart; not the faintest; faintest; black out blinds|curtains; fit as ~2; fit in|me|into|you|around|with|us|for|and; keep fit; fit ~1 as; had ~1 turn to; took turns; my turn; good turn; to be fit; as fit; fighting fit; fit bit; fitbit; fits ~1 in|me|well|perfectly|my
sharp pain killer; pain killers|killer; painkiller|painkillers; pain ~1 relief|clinic|tablets|management|medication|specialist|med|medicines; something for ~2 pain
numb ~1 to; gone off; going off; alarm ~1 went|goes|going off
`
