/** Answers and wishes that are no symptoms: doses, softness, STOP, moving the visit, calls, history. As data. */
import type { HistoryKind } from '../types.ts'

export const NUMBERS = new Map<string, number>(
  Object.entries({
    zero: 0,
    nil: 0,
    nought: 0,
    naught: 0,
    zilch: 0,
    one: 1,
    two: 2,
    three: 3,
    four: 4,
    fower: 4,
    five: 5,
    six: 6,
    seven: 7,
    eight: 8,
    nine: 9,
    ten: 10,
    eleven: 11,
    twelve: 12,
    thirteen: 13,
    fourteen: 14,
    fifteen: 15,
    sixteen: 16,
    seventeen: 17,
    eighteen: 18,
    nineteen: 19,
    twenty: 20,
    thirty: 30,
    forty: 40,
    fifty: 50,
    sixty: 60,
    seventy: 70,
    eighty: 80,
    fivish: 5,
    fiveish: 5,
    sixish: 6,
    fourish: 4,
    threeish: 3,
    sevenish: 7,
    eightish: 8,
    twoish: 2,
    ninety: 90,
    couple: 2,
    few: 3,
    several: 4,
    dozen: 12,
  }),
)

/** Digits and common slips of number words. */
export const NUMBER_SLIPS = new Map<string, number>(
  Object.entries({
    thre: 3,
    thee: 3,
    too: 2,
    tow: 2,
    tree: 3,
    for: 4,
    fore: 4,
    to: 2,
    fiv: 5,
    sevn: 7,
    eigth: 8,
    ate: 8,
    nien: 9,
    won: 1,
  }),
)

export const TIMES_WORDS = new Map<string, number>(
  Object.entries({
    once: 1,
    twice: 2,
    thrice: 3,
    bd: 2,
    bid: 2,
    tds: 3,
    tid: 3,
    qds: 4,
    twise: 2,
    wonce: 1,
    twicw: 2,
    tice: 2,
    twic: 2,
  }),
)

/** Parts of a day, for counting distinct doses. */
export const PERIODS: [string, string][] = [
  ['morning', 'morning am breakfast brekkie breaky brekky waking dawn'],
  ['midday', 'noon midday lunch lunchtime dinner dinnertime afternoon elevenses'],
  ['tea', 'tea teatime supper'],
  ['night', 'evening pm night bedtime bed tonight nighttime dusk'],
]

export const FORGOT = `not ~1 tonight ~1 yet?; no to ~1 morning|evening|night|lunch|lunchtime|teatime|tea|bedtime|afternoon|breakfast|dinner; no morning|evening|night|lunch|lunchtime|teatime|tea|bedtime|afternoon|breakfast|dinner|second|third dose|one|lot|drops; lost ~2 bottle|drops|dropper; they|drops|it ~1 not ~1 come|arrived; refused|refuses|refusing ~2 them|it|drops|today; would not ~1 have|let|take ~2 them|it|drops|me|us|second|any; not ~2 able to ~1 put|do|use|get|open|manage|reach; not ~1 get ~1 round; forgot|forgotten|forget|forgetting|missed|miss|skipped|skip|neglected|omitted ; not yet; not ~3 picked|collected|bought|bother|bothered|bothering; stopped them|drops|oil; nothing ~1 went ~1 in?; not ~3 done|had|put|used|did|do|using|putting|managed|taken|started|got|given|today|bothered; none; no drops|doses; never ~2 did|put|got|used|had|done; slipped my mind; i|we|have|has|had|just ran|run out; ran|run out of ~3; none ~1 left; could not ~3 find|open|reach|do|manage|get|face; nothing today|yet|so; zero; nil; not ~1 touched|touch; no ~1 time|chance; not ~1 any|one|once; clean forgot; mind ~2 blank; out of ~1 noddle|head|mind; bottle ~2 at home; stopped ~2 drops|oil; tomorrow ~1 start; no|not i have|did|havent|not`
export const FUTURE = `will|shall; going to; about to; gonna; later|shortly|afterwards; intend|intending|planning|plan|hoping|hope|aim|aiming to|on; in a bit|minute|mo|moment; next one|dose|lot ~2; to go|come|do|follow; left to|for; due|still to; another ~3 to|later|tonight|tomorrow|at; tomorrow; doing ~3 tonight|later|now; when i get; before i go; more to; remaining; remind ~1; try to|and`
export const DONE = `every time; all ~1 of|on them; as ~1 told|instructed|directed|prescribed|said|asked; done|did|put|used|taken|took|applied|managed|completed|finished|given|popped|got|squirted|poured|doing|dropped; yes; all done; sorted; had ~1 my|the|them|it|both|two|three|one|all|drops|some`

export const SOFT_YES = `would|does|is ~1 yes; like ~1 glue|jam|honey|syrup|soup|gravy|mud|fudge|plasticine; starting|started|beginning|begun|begins|starts to? loosen|soften|shift|move|give|melt|break|dissolve; soggy|pliable|squidgier|softish|softer|sofer; on the move; less hard|solid|stuck|firm|tight|dry|stiff; not ~1 as|so|quite|nearly|anything hard|solid|firm|stiff|tight as|like; not ~1 as|so|nearly|quite|that|too ~1 hard|solid|firm|stiff|tight|tough; wax|plug|it|lump ~2 breaking|dissolving|crumbling|disintegrating up|away|down|nicely|slowly?; softish; wax|plug ~2 squidgy|gooey|toffee|liquid; not hard|solid|stuck ~1 anymore|now; not hard any more; from concrete|brick|stone|rock|hard|solid ~3 to ~2 butter|wax|putty|mush|soft|candle|jelly; i think so; would say so; seems so; reckon so; believe so; proper|right|quite|bit|all|well|lovely|nice ~1 sloppy|mushy|squashy|slack; sloppy|squashy; so yes; brown sugar; like|gone|to ~1 butter|mush|putty|porridge|treacle|jelly|custard; soft|softer|softened|softening|softend|mush|saft|squidgy|squishy|claggy|toffee|slides|sliding|slid|gives|wiggle|wiggles|squidge|squelchy|gooey|mushy|loose|loosened|loosening|melting|moving|shifting|shifted|runny|looser|sludgy|slushy; coming away|out|loose; wax ~3 come|came|coming|comes|dripping|running ~1 out|away|loose; starting to move|come|shift|loosen|soften; doing ~2 trick|job; working`
export const SOFT_NO = `hard as ~2 toffee|nails|iron|rock|stone|bullet|flint; like ~1 concrete|cement in there; no|not ~3 changed|altered|improved; no|not ~3 odds; wax|plug ~1 the? same; still ~1 like ~1 lump of toffee; like ~3 marble|marbles|coal|flint|glass|conker|wood|bone|diamond; no ~1 improvement|give; no sign|signs ~4 softening|soft|softer|softened|loosening|moving|shifting; no movement|shift; no|not ~3 softening|loosening|softness; not ~1 doing ~1 anything|owt|nothing|thing|much; done|doing|does|do nothing; like ~1 cork|boot|boots|nails; tough as ~2; little|no change|difference; wax|plug ~2 much|just|about|exactly the? same; not ~1 soft|softer enough; not ~1 think|feel|say|reckon|believe ~3 softer|soft|softened|looser|loosened; not ~3 bit|blind|scrap ~2 difference; will not ~1 budge|shift; do not think so; can not say ~4 softer|soft|different; unchanged; not that ~2 can tell; if owt|anything ~2 harder|firmer; harder|firmer|tougher; still ~2 like ~2 stone|rock|brick|concrete|cement|marble|bullet; not ~2 any softer; could break ~3; still ~1 hard|solid|stuck|rock|same; same lump|plug|brick|again; not one bit; not ~1 bit of it; like|as ~2 brick|bricks|pebble|stone|stones|rock|concrete|cement|bullet|iron|granite|hobs; no joy|luck; not a jot|bit|thing|sausage; pour ~3 pebble|stone|rock; not ~2 shift|budge; set like|hard|solid; still ~1 plug|there; devil ~4 shift; do not think so; hard|solid|rock|concrete|stuck|harder|stubborn|compacted|impacted|caked|dry; no|not ~3 softer|soft|softened|shifted|shifting|moved|moving|budged|budging|loosened|looser|change|different|difference|working|worked|melted|moved|any|yet|gone|coming; no different|difference|change|softer; still ~2 hard|solid|stuck|there|same|dry|firm|rock; nothing ~3 come|came|coming|happened|happening|moved|changed|shifted|budged; same as ~2; just the same; as hard as; not ~1 done ~2 anything|thing|trick`

export const STOP = `
knock it off ~3 texts|messages|texting|messaging|reminders|daily; turn|switch|shut them|these|it off; texts|messages|reminders ~1 turn|switch ~1 them|these off; get rid of my ~1 number|details|name; leave off ~1 messaging|texting|sending; opt me|us|mum|dad out; not wish|want|like ~2 receive|get|getting ~2 these|them|any|texts; withdraw ~2 consent; unsubscribe|unsubscribed|optout|stopall; opt out; opting out; stop ~1 texting|messaging|sending|contacting|bothering|pestering|emailing|harassing|hassling|spamming ; stop ~4 texts|messages|msgs|text|message|emails|reminders|txts|spam|contact|rubbish|nonsense; no more ~3 texts|messages|msgs|text|message|reminders|emails; you can|could|may stop ~1 these|this|them|now|sending|texting; pack it in with ~2 texts|messages; give over texting|messaging|sending; halt|desist|refrain|cease ~4 texts|messages|reminders|texting|sending|messaging|these; desist; done with ~2 texts|messages; that will do with ~2 messages|texts; get rid of me; rid ~1 me ~1 off; turn|switch|shut ~2 texts|messages|reminders|these|them ~1 off; turn|switch these|them off; never ~1 signed up; rather|sooner not ~2 get|have ~3 texts|messages; have|had enough of ~2 texts|messages; do not need ~2 texts|messages|reminders; no further texts|messages|reminders; text|texts|messages must stop; not text ~2 number; leave me alone|be; leave me ~1 alone; take|get ~1 me|my|us off; take|remove|delete ~4 off|from|list|number|name|details; remove me; do|will|would you? not ~2 text|message|contact|bother|send|email|txt|msg ~2 me|my|again|any|anymore|us|this|more; not want ~3 texts|messages|reminders|msgs|text|message|emails|these; wish|want|like to? ~2 stop ~2 receiving|getting|these|texts|messages; stop receiving|getting; quit texting|messaging|sending|bothering; enough ~2 texts|messages; cease ~3 texts|messages|sending|contact; give it a rest; cancel ~2 texts|messages|reminders|subscription; end ~2 texts|messages; switch|turn ~3 texts|messages|reminders ~1 off; sick of ~2 texts|messages; fed up ~3 texts|messages ~4 stop; bugger off; stop please|it|this|now|them|these|thanks|thank|that; please stop; stop stop; cancel all; no longer ~3 texts|messages|reminders|receive; end all`
/** Whole-message keywords, as carriers' customs have them. */
export const STOP_WORDS = new Set(
  'stop stopall unsubscribe cancel end quit optout halt arrest stopp stap cease desist unsubcribe unsubscibe arret stopp'.split(
    ' ',
  ),
)
export const START_WORDS = new Set('start unstop resume restart subscribe optin'.split(' '))
export const START = `start ~2 texting|messages|texts|sending|messaging|reminders ~1 again?; opt in; opt back in; resume ~2 texts|messages|reminders; begin ~2 texts|messages; unstop ~3; start them|it ~1 again; start ~1 up again; texts|messages|reminders ~1 back on; turn ~2 messages|texts|reminders ~1 back? on; sign me up; start again ~1 please; can|could you start|resume ~3 texts|messages|reminders; changed my mind ~6 texts|messages|start|resume; carry on ~1 texting|sending; put me back on`

export const MOVE = `
change|switch to ~2 afternoon|morning|evening|another|different; check|appointment|visit|review ~1 up? moved|changed|shifted|rearranged; want|like|need|wish to ~1 cancel; cancel|shift|move|change|postpone ~2 follow|followup|check|review|recheck ~1 up?; putting|put ~2 visit|appointment|appt ~1 off; please|pls cancel; monday|tuesday|wednesday|thursday|friday|saturday|mon|tue|tues|wed|weds|thu|thur|thurs|fri|sat|ordinal|tomorrow ~1 is? no|not ~1 good|use|ideal|possible|convenient; monday|tuesday|wednesday|thursday|friday|saturday|mon|tue|tues|wed|weds|thu|thur|thurs|fri|sat|ordinal|tomorrow is? out|impossible|awkward|tricky|off; can not do the? tomorrow|ordinal|monday|tuesday|wednesday|thursday|friday|saturday; cry|crying off; call|calling off ~3 visit|appointment|monday|tuesday|wednesday|thursday|friday|saturday|tomorrow|ordinal; make it ~1 after|before|later|earlier|afternoon|morning; need|want|like|prefer ~2 different|another|later|earlier|other one|day|time|slot|date|appointment|week; cancellations|cancellation; book|make|arrange|fix ~2 appointment|visit|booking|slot|appointments; anything|owt|something ~3 after|before|afternoon|afternoons|mornings|evening|later|earlier ~1; can|could i come ~2 today|tomorrow|now|earlier|sooner|later|instead; funeral|wedding ~3 then|ordinal; funeral|wedding ~1 that|same day; that day ~2 funeral|wedding|strike; strike ~2 day; can it be ~2 morning|afternoon|later|evening|different; down for ~2 later|earlier|another; different|another one|day please?; 
put|fit|squeeze me ~2 later|earlier|in|sooner|forward|back|another; swap ~2 to ~2 afternoon|morning|monday|tuesday|wednesday|thursday|friday|day; move ~3 follow|followup|recheck|check; can|could we ~1 put ~2 back|forward|off; reschedule|rescheduled|rescheduling|rearrange|rearranged|rearranging|rebook|rebooked|rebooking|postpone|postponed|postponing|reshedule|rescedule|reschedual|rearange|reskedule; re arrange|book|schedule; move|change|swap|shift|switch|alter|changing|moving|swapping|amend|bring|push|delay|defer|adjust|cancel|cancelling|canceling|cancell ~5 appointment|appointments|visit|booking|slot|time|date|day|monday|tuesday|wednesday|thursday|friday|saturday|mon|tue|tues|wed|weds|thu|thur|thurs|fri|sat|forward|back|earlier|later|clinic; move|moved|change|changed|swap|swapped|shift|put|push|bring|brought|pushed|switch ~1 it|mine|that|this ~2 to|for|back|forward|earlier|later|please|till|until|off; can|could it be ~1 moved|changed|later|earlier|swapped; can|could|will|would not ~3 make|attend|manage|come ~3 it|appointment|visit|then|that|monday|tuesday|wednesday|thursday|friday|saturday|mon|tue|tues|wed|weds|thu|thur|thurs|fri|morning|afternoon|tomorrow|my|in|the|to|on|this|next|there; can|could not come|attend ~1; unable ~1 make|attend|come|be; not ~1 able to ~1 make|attend|come|be; another|different|alternative|new|other ~1 day|time|date|slot|appointment|week; shift|swop|swap|move|change me|with|slots|over|it|this|them; week after|before; can|could not ~1 get in|there ~2 day|then|that; make it ~2 monday|tuesday|wednesday|thursday|friday|mon|tues|weds|wed|thurs|fri|week; shall|will be in|away|abroad ~4 ordinal|day|week|then; clash; change ~4 check|checkup|recheck; mornings|afternoons|evenings ~3 no|better|suit; afternoon|morning|later please; no|not ~1 good|use to|for me; can not do monday|tuesday|wednesday|thursday|friday|saturday|mon|tues|weds|thurs|fri|that|then|it|mornings|afternoons; what else ~3 got|have|available; best i come; can|could not get ~2 to ~2 you|clinic|appointment|there; days|times ~2 else; other days|times; earlier|later|sooner ~1 appointment|slot|time|date|day|one; anything|slot|appointment|available ~2 sooner|earlier|later; seen|fit|come|see|get|squeeze ~3 earlier|sooner|another; fit|squeeze me in; will not be ~1 there|able|coming; cancel ~4 appointment|visit|booking|slot|it|my|tomorrow|monday|tuesday|wednesday|thursday|friday; do|does not suit; does not work for; no good for me; clashes|clash|double booked; away ~2 that|then|on ~2 day|week|date|monday|tuesday|wednesday|thursday|friday|holiday; on holiday ~3; next week instead; instead; put ~1 off; what other times|dates|days|slots; any other times|dates|days|slots|appointments; need|want|like ~4 new|different|another ~1 appointment|date|time|day|slot; not coming; miss ~2 appointment`
export const KEEP_TEXTS = `do not ~1 you? stop ~1 checking|asking|texting|writing|messaging|looking; not want to stop|end; not ~1 want ~1 them|texts|messages|reminders to stop; do not stop ~3 texts|messages|reminders|texting|messaging|sending; keep ~2 texts|messages|texting; like|love ~2 texts|messages|reminders`
export const CALL_ME = `
can|could|would|will ~1 nurse|doctor|lady|someone|somebody|clinician|audiologist|girl telephone|phone|ring|call; rather talk|speak ~2; call|ring|phone|telephone|bell|contact me; send ~1 somebody|someone|anyone|help|doctor|nurse; call|ring|phone|telephone|contact ~1 my ~1 daughter|son|wife|husband|carer|neighbour|niece|nephew; give ~1 me|us ~1 ~1 call|ring|bell|buzz|tinkle|shout; call|ring|phone ~1 back; ringing|calling|phoning me; someone|somebody|anyone|anybody|nurse|doctor|you|receptionist|audiologist|clinician|lady ~3 call|ring|phone|speak|talk|contact; speak|talk|speaking|talking to|with ~2 someone|somebody|nurse|doctor|person|human|you|anyone|receptionist|clinician|audiologist; can|could i ~2 speak|talk|call|ring|phone; want|need|like|wish ~2 speak|talk|call|chat; phone call; callback; call us; get in touch; telephone me; have|need|want|like ~2 word with; see|ask ~1 the lady|nurse|man ~1; see ~1 a|the doctor|nurse|someone|gp; need|want to be seen; needs to be seen; need help; help; help me; advice please; please advise; what number; what is ~2 number; ring|phone|bell us; rather|sooner|prefer ~2 explain|speak|talk|say|tell ~4 person|human|someone|somebody|nurse|doctor`
export const WRONG_NUMBER = `
wrong number|person|no|phone|mobile; not ~1 my|right|correct number|person|patient; not ~1 the ~1 patient; who is|are this|you|that; whos this; do not know ~2 who|you; no one|nobody ~2 called|by; no one|nobody ~1 here ~1 of|with|called|by; not mr|mrs|ms; i am not ~1; never ~2 heard of ~1; never been ~3 clinic|you; think you have ~3 wrong; new phone who; new number; passed away; has died; is deceased; deceased; no longer with us; not me; not mine; died; not for me; who dis`
export const THANKS =
  'thanks|thank|thankyou|appreciated|appreciate|grateful|ta; much obliged; thank you; bless you; god bless'

/** Kinds of history, in the patient's words. */
export const HISTORY: { kind: HistoryKind; patterns: string }[] = [
  {
    kind: 'perforation',
    patterns:
      'holed it|mine|drum|one|ear; poked ~2 through; burst|tore|ruptured|split it ~5 ago|flying|back; hole; hole ~3 since|childhood|still|healed|never; drum|eardrum ~2 split|tore|blew|burst|popped; split|tore|torn|popped|burst ~3 drum|eardrum|eardrums; hole|holes ~3 ear|ears|eardrum|drum|eardrums; holes; perforated|perforation|perforations|perferated|perforate|perforatd; burst|bursted|ruptured|torn|damaged|popped ~2 eardrum|eardrums|drum|drums; eardrum|drum ~2 went|gave|blew|blown|gone ~1 out|pop|on|in?; eardrum|drum ~3 burst|perforated|ruptured|hole|torn|popped; tear ~2 eardrum|drum; a hole in',
  },
  {
    kind: 'surgery',
    patterns:
      'grafted|graft; something|summat ~2 done|did ~2 ear|ears|lug; did|do something|summat ~2 ear|ears|lug; built|made|gave|fitted ~2 new ~1 eardrum|drum|drums|bones; new ~1 ear drum; surgeon|surgeons; rebuilt|rebuild|reconstructed ~3 bones|bone|drum|eardrum|ear; ear|ears ~2 operation|operations|op|ops|surgery|surgeries|operated; operation|operations|op|surgery|operated ~4 ear|ears|eardrum|drum|mastoid; mastoid|mastoidectomy|stapedectomy|myringoplasty|tympanoplasty|cholesteatoma|stapes|mastoidectomies|ossiculoplasty|cholesteotoma; ear bones; pinned ~2 ears ~1; ears pinned; pinned ~1 back; cochlear implant; surgery; operation; operations; surgeries; bone|bones ~2 behind ~2 ear ~3 operated|drilled|removed|scraped|out; operated ~3 bone|bones ~3 ear|behind; new|false|artificial|plastic|metal|titanium|replaced|replacement ~1 bone|bones ~2 ear; done|did ~3 my|the ear|eardrum ~3 hospital|theatre|anaesthetic; patched ~3 ear|eardrum|drum|drums; ear|eardrum|drum|drums ~3 patched|grafted|mended; graft ~3 ear|eardrum|drum; ear|eardrum|drum graft|repair|repaired; bone ~2 ear ~2 replaced',
  },
  {
    kind: 'grommets',
    patterns:
      'tube|tubes ~1 through ~2 drum|eardrum|it; tube|tubes in ~1 it|there|mine; those|little|tiny tube|tubes; tube ~3 left|right|one; tubes; grommet|grommets|gromits|gromit|grommits|grommit|gromets|gromet; tubes|tube ~3 ear|ears|eardrum|eardrums; ear tubes',
  },
  {
    kind: 'infection',
    patterns:
      'ear|ears|inner|outer|middle ~1 infection|infections|infected; infection|infections|infected ~3 ear|ears|lug|it; otitis|labyrinthitis; swimmers ear; antibiotic|antibiotics ~4 ear|ears|it; infected; infection|infections; glue ear; antibiotic|antibiotics|otomize|sofradex|gentisone; fungal; boil ~3 ear; abscess ~3 ear|it|there|lug; mastoiditis',
  },
  {
    kind: 'discharge',
    patterns:
      'used to weep|run|leak|ooze|drip; runny ear|ears; it ~1 runs|weeps|leaks|oozes|drips; discharge|discharging|gunge|gungy|runny|weeping|oozing|gunky|gunk|pus|leaks|leaking|leaky; ear|ears ~2 run|runs|ran|running|leaks|weeps|drips|wet; stuff|fluid|liquid ~3 out of ~1 ear|it',
  },
  {
    kind: 'allergy',
    patterns:
      'nuts|peanuts|peanut|almonds|nut yes|yeah|aye; nut|nuts|almond|almonds|peanut|peanuts|walnuts|cashews ~3 make|makes|made|give|gives|gave|bring|brings|brought|send|sends|close|closes|set|sets ~2 me|my ~4 lumps|hives|rash|spots|blotches|swell|welts|itch|throat|lips|hospital|sick|up|off|out; nut|nuts|almond|almonds|peanut|peanuts|walnuts|cashews ~4 bring|brings|brought ~1 me ~1 out ~2 lumps|hives|rash|spots|blotches|welts|blisters; react|reacts|reacted ~2 nut|nuts|almonds|almond|peanuts|penicillin|latex ~6 lumps|hives|rash|up|badly?; can not ~1 have|eat|touch|abide|go nut|nuts|peanuts|almonds; can not ~1 have|eat|touch nut|nuts|peanuts|almonds ~3 come|comes|bring|brings|swell ~1 out|up ~2 rash|hives|lumps|spots; bring|brings|brought me ~1 out; nuts|latex|plasters ~4 hives|rash|swell; allergic|allergy|allergies|alergic|alergy|allergys|intolerant|intolerance; nut|nuts|peanut|peanuts|almond|almonds|latex|penicillin|plaster|plasters ~2 allergy|allergic; anaphylaxis; epipen; carry ~2 pen; no|not nut|almond ~1 oil|oils; i swell',
  },
  {
    kind: 'drops-reaction',
    patterns:
      'drops|oil|bicarb|bicarbonate|ones ~2 made|make ~3 ear|ears|skin|face ~2 red|raw|sore|swell|swollen|itch|burn|puff; drops|oil|spray|bicarb|bicarbonate|ones|peroxide ~4 bring|brings|brought ~2 me|skin|ear|us ~1 out|up ~2 blisters|hives|welts|lumps|rash|spots|blotches; drops|oil|bicarb|bicarbonate|ones ~3 bring|brings|brought ~1 me ~1 out|up; hives|rash|welts|blisters|lumps|spots|blotches|eczema ~5 from|with|off|after ~3 drops|oil|bicarb|bicarbonate|ones; bad do ~2 drops|oil|bicarb; drops|oil ~9 blew|swelled up ~6 out ~2 blisters|rash|hives|lumps; drops|oil|spray|bicarb ~8 gave ~2 rash|lumps|hives|welts|itch; drops|oil|spray|bicarb ~8 came|come|made ~3 up|out|swell|itch ~2 in? ~2 rash|lumps|hives|welts|spots?; drops|oil|peroxide|bicarb|ones|they|it ~3 took ~2 skin; drops|oil|peroxide|bicarb ~3 skin ~2 off|peel|peeled|raw; reaction|reactions|reacted|react ~4 drops|oil|bicarb|bicarbonate|them|it|peroxide; drops|oil|bicarb|bicarbonate|them|they ~4 rash|burned|burnt|burn|burns|stung|itch|itchy|reaction|sore|swollen|blister|blistered|dizzy|sick|irritated|irritate; bad reaction; fetched|brought ~1 me ~1 out; came out in; rash ~4 drops|oil; reacted badly; drops ~2 not agree|upset; blisters|blistered|rash|swelled|swelled|swollen|burned|burnt ~5 drops|oil|bicarb; drops|bicarb|sodium|oil ~8 swelled|blistered|blisters',
  },
  {
    kind: 'only-hearing-ear',
    patterns:
      'one|1 ear that|what hears|works|hear|work; right|left|other|good ~1 ~1 is all i have|got; deaf ~3 left|right|one|other ~2 since ~1 birth|childhood|child|boy|girl|baby; only ~1 hearing ~2 one|left|right ~1 side|ear; only ~1 hear|hears ~4 left|right|one; hear|hears only ~3 left|right|one; left|right|other ~2 one|ear|side? ~2 dead|deaf|useless ~1 since|from ~3 birth|childhood|born|war|child|boy|lad|nipper|lass|bairn|girl|baby|young|kid|measles|mumps|school; one ear ~2 any|no use; only ~2 ear|side ~4 hears|hear|works|working; only ~4 hear|hearing|works|working|good|one ~3 ear; one ~2 ear|side ~1 works|working|good; one good|hearing|working ear; only hearing|good ear; only ~3 one ~1 ear; only have ~1 one; deaf|dead|no ~1 hearing ~3 one|left|right|other ~1 ear|side|one?; hear ~3 one ~1 ear|side only; hears|hear only ~3 left|right|one; only hear|hears ~2 with|out|from|in ~3 left|right|one; one ear of ~1 use; only ~2 one ear of ~2 use; just|only ~2 left|right ~1 ear ~1 hears|works|hear; single sided ~1; the ~1 only one ~2 works|hears|working|good; only one ~2 works|hears|working; the one hearing|good|working ear; my good|one ear; good ear; only ~2 left|right ~2 works|working|hears|good|one; ear ~3 deaf since|from; other ~1 ~2 deaf|dead|useless|gone; other ear ~3 not ~1 work|hear|working; unilateral ~1; born deaf ~2 ',
  },
  {
    kind: 'immunocompromised',
    patterns:
      'anti rejection; antirejection; rejection ~1 tablets|drugs|pills; immune|immunocompromised|immunosuppressed|immunosuppressant|immunosuppressants|immunosupressed|immunodeficiency|autoimmune; low|weak|poor|weakened|compromised|suppressed ~1 immunity; chemo|chemotherapy|radiotherapy|kemo|rheumatoid|leukaemia|leukemia|lymphoma|myeloma|hiv; have|has|got aids; transplant|transplanted; methotrexate|azathioprine|rituximab|mycophenolate|tacrolimus|ciclosporin|cyclosporin|biologics|biologic|adalimumab|prednisolone|prednisone|steroids|hydroxychloroquine|infliximab; no spleen; spleen removed|out; splenectomy; lupus; cancer; steroid tablets',
  },
  {
    kind: 'anticoagulant',
    patterns:
      'blood thinner|thinners|thinning|thiner|thiners; thinners|thinner ; thin|thins ~1 blood; warfarin|warfrin|warferin|apixaban|apixiban|rivaroxaban|rivoroxaban|edoxaban|dabigatran|heparin|clopidogrel|clopidogril|anticoagulant|anticoagulants|anticoagulation|aspirin|asprin|tinzaparin|dalteparin|ticagrelor; blood clot ~2 tablets|medicine|medicines; thin|thinning ~1 blood',
  },
  {
    kind: 'diabetes',
    patterns:
      'sugar also|too; have|got sugar; sugar patient; tablets|pills|medicine for ~2 sugar; diabetic|diabetes|diabetis|diabeties|diebetic|insulin|metformin; sugar ~1 diabetes|disease|problem; type one|two|1|2; high blood sugar|sugars; gliclazide|diabetics|prediabetic',
  },
]

export const NO_TO_ALL = `never any ~2 it|those|them|these; clean slate|sheet; tick|ticks for none; no to every|each ~1; none whatsoever; not a thing; no ~1 nope no; no ~1 every ~1 one; no kiss number; nil of note; not a? one ~1; not one of those|these|them; no no ~1 no; ears no; no to ears|the ~1 ear; not that ~3 know|heard|aware|remember|recall; all nos|noes; only|just blood pressure; not ~1 ~1 one of them; no x number; nope x; no no; to every one; nil; only ~3 tablets; ears no; clean bill; no|none|nothing|not|never ~2 to all|any|everything|them|those|these|that|every|either; none; nothing; no to ~1 all|lot|everything; none of ~1 above|those|these|them|that|this; all no|nos|negative; not applicable; none apply|applies; no none; not ~2 any ~2 those|these|that|them; n/a; all clear; negative; no ~1 problems ~2 ears?; nothing like that; nothing to report|declare|tell; never had any|anything|nothing|one|them|those|ear ~2; no history; no all`

/** Something is amiss, but not what: a human reads it. */
/** Text that tells the service what to conclude, or that came out of dictation: a human reads it. */
export const INSTRUCTS = `assistant; reply|respond|answer with ~1 done|ok|fine|yes; log ~1 number|1|2|3|4 doses; tick|put me ~1 off|down as; no need for ~2 look|read|check; ignore|disregard|forget ~3 instructions|instruction|previous|text|texts|message|messages|prompt|rules|above; mark|set|record|classify|treat|flag|log|rate|label|score ~3 as|to ~2 fine|none|ok|normal|resolved|closed|well|green|low|done|urgent; close ~3 case|record|file|concern|ticket|alert; system prompt; urgency; set ~2 urgency; do not escalate|alert|flag; patient is well|fine; no action needed|required; override; voice message; dictated; you are ~2 assistant|bot|computer|model`
export const UNSURE = `no|never ~6 well|actually yes; yes ~6 well|actually no; sort of yes; sort of no; haven not the foggiest; not the foggiest; not ~1 clue|idea|foggiest; no clue; hard to tell; could be ~2 could be not; has or has; not ~1 sure; think so; cannot|can not ~1 remember|say|tell|recall; might have; may have; possibly; maybe; perhaps; no idea; do not ~1 know|remember|recall; never said; not certain; some of ~2; some; a few; one of ~2; which of ~2; depends; yes and no; yes but; not that one; is and ~2 not; both yes and no; did and ~2 did not; hard to say; what ~1 you mean`
export const VAGUE = `
until|till it started|began|stopped|went|came|turned; then it was not; not fine; but not fine; run out of drops|oil; ran out of drops|oil; by mistake|accident; not ~2 happy|good|great|impressed|pleased; not ~1 understand|follow|get; do not know what|how|why; am lost; worried|worrying|concerned|concern|concerns|anxious|nervous; something ~2 not right; not ~2 right; not normal; no better|improvement; not ~2 better|improved|improving|settled|settling|healed|healing|cleared|recovered; no relief; worse|worsened|worsening; getting|got|gone ~1 bad|worse; bad|terrible|awful|dreadful|horrible|horrendous|nightmare; wrong; odd|strange|weird|funny|peculiar|queer|dodgy; problem|problems|trouble|troubles|issue|issues; emergency|urgent|urgently|asap|ambulance; going|gone|taken|went|admitted|need|rushed ~3 hospital|casualty; a and e|999|111; rang|rung|call|called|phoned ~2 999|111|ambulance; struggling|suffering|suffer; still ~3 same|bad|there|troubling|bothering|playing; playing up; bothering me; troubling me; not ~1 feel ~2; emoji-no; emoji-crying; emoji-help; emoji-fire; complain|complaint|complaining|disgusted|disgusting|disgrace|disgraceful|appalling|shocking|useless|rubbish; frightened; awake all|half ~1 night; emoji-sick; that|this|same thing again; doing that ~1 thing; not feel ~1 normal; not ~2 slept|sleep|sleeping|sleep; no sleep; lump|bump; up all night`

/** Said of oneself, these mean that all is well. */
export const WELL = `
could not ~1 be better|better|fitter; out of ten|10 for; never ~3 bother|trouble|problem since; hear|heard ~2 kettle|clock|tap|birds|blackbird|robin|rain|fridge|ticking|click; never felt better; rock steady; right as ninepence; not since; clean since; fine and dandy; without ~1 hitch; hearing ~3 stereo|technicolour; ears|ear ~1 splendid|a1|grand|great|smashing|super; clean as ~2 whistle; sound ~1 is|crisp ~1 crisp?; hear ~2 rain|caller|birds|clock; happy tears; could not be happier; listening to ~2; could hear ~2; fine since; not ~1 jot|bit|scrap|whit ~2 bother|trouble|problem|problems; feels marvellous|marvelous|lovely|wonderful|great; ear|ears|side reet; no bother|bothers; i am tickled; tickled pink; pins drop; pin drop; bleeding marvellous|lovely|brilliant; nothing wrong ~3 ear|ears; laughing; turned up ~1 marvellous; heard ~2 birdsong; not ~2 any|had ~1 trouble|bother|problems|problem|issues|bad|worry|worries; best thing; am|are|is|keeping|feel|feeling|feels|but|and|all|both|very ~1 well; on ~1 top of ~1 world; back on my bike|feet; slept ~1 well|sound|soundly|like; ear to ear; put ~3 smile; lit up; looking forward; all in hand; under control; turned ~2 down; hear|hears|hearing|heard ~2 every|birds|owl|rain|clock|blackbird|blackbirds|again|properly; heads|ears|ear ~2 clear; clear as; sounds ~2 clear|sharp|crisp|loud; first time in years; smashing; much improved; very well; music to; ninepence; nothing to speak; gone now; all gone; carry on ~2 texts; by gods grace; like ~1 new; new man|woman|person|lease; not ~1 bother; back in business; fine|good|grand|rude fettle; fettle; happy as ~2; ship shape; shipshape; proper job; gradely; received ~1 understood; noted; understood; dry as ~2; bone dry; steady as ~2; firmer; all ears; sharp as ~2; like ~1 bat; clear as ~2; sound as ~2; fresh as ~2; good as gold; reet good; canny; not ~1 grumble; living the dream; deserve ~2 medal; bloody marvellous|marvelous|brilliant; very mild; coming ~1 thursday|monday|tuesday|wednesday|friday; confirm; over the moon; cock a hoop; on top of the world; better than ~2; smooth sailing; plain sailing; cant fault; can not fault; worked ~1 treat; treat; miracle|miracles|marvel; alive and kicking; made my day; life changing; cannot tell; can not tell; still coming; see you ~3; home ~1 safe; no ill effects; no after effects; hear ~3 everything|birds|clock|whisper|pin|rain|kettle; old self; recommend ~2 you; kind regards; fine; all ok|good|fine|well|clear|done|quiet; ok; no problem|problems|prob|probs|issue|issues|trouble|worries|complaints|concerns|symptoms|bother; good; great; grand; champion; tickety boo; right as rain; fit as ~1 fiddle; never better; much|lot|loads better; better; as good as new; back to normal; normal; lovely; brilliant; nothing to report|worry; not a thing; no news; settled; tip top; can not complain; mustnt grumble; must not grumble; must not complain; not too bad; not bad; sound|safe|well and sound|well; all|ears|is|am|feel ~1 sound; cushty; spot on; happy|chuffed|pleased; all ~1 over; a1; hunky dory; just|all|quite|feels|feel|everything ~1 right; perfect; emoji-yes; thumbs up; wonderful; doing ~1 well|fine|ok|good|great; so far so good; going ~1 well|fine|ok; ok now; recovered; healed; feeling ~1 well|fine|good|great|ok`
