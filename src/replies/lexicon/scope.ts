/** Cue words of the scope rules (after the published NegEx and ConText ideas), as data. */

const set = (words: string) => new Set(words.trim().split(/\s+/))

export const SENTENCE_ENDS = set('. ! ? ; \n'.replace('\n', ''))
SENTENCE_ENDS.add('\n')

export const CLAUSE_STARTS = set(
  'but because although though however except then while whereas only yet still-but plus also otherwise unless apart',
)

/** "no" before one of these denies nothing: "no better", "no doubt". */
export const NO_IS_NOT_DENIAL = set(
  'better different difference improvement change relief doubt let letup end joke idea worse wonder way sleep one thanks thank problem problems rush hurry matter need use fun picnic appetite energy good more-than answer reply appointment drops luck point choice probs prob bother trouble messing laughing fit',
)

/** What may stand between "no" or "not" and the thing denied. */
export const DENIAL_BRIDGE = set(
  'one spots drop speck spot whit ounce jot point go running a an any the much real really actual actually more other further sign signs signs evidence of trace hint or nor and of bad major significant serious severe new big great terrible horrible nasty too very particularly especially that so at all even been being had have having has got get getting gotten seen see noticed notice noticing experienced experience experiencing felt feel feeling feels suffered suffer suffering suffers in from on inside into with to ear ears either left right both side extra kind sort type form ever anymore yet visible obvious fresh single actually as overly quite again coming out there up hot what whatsoever symptoms issues problems trouble dreaded nasty unusual significant you your this those these bit slightest least quite is it now today whatever since',
)

/** "can not" and "could not" deny only with these after them. */
export const CAN_NOT_DENIES = set('feel see notice detect find smell say-any complain report')

/** After "not" these do not deny what follows: "not just pain". */
export const NOT_IS_NOT_DENIAL = set(
  'only just without sure certain better gone stopped stop cleared settled improved improving easing eased helped helping worked working like want know realise expect think-so surprised forget long least wait slept sleep stand bear cope eat even-sleep going-away budge shifted getting-better nice funny good pleasant enjoy fair put mention happy impressed pleased told warned help until before normal usual unless through mind grumble',
)

export const NOT_THINK = set('think believe reckon suppose imagine')

export const BELONGINGS = set('i my it he she they we its there his her their our ')

export const GONE = set(
  'gone stopped cleared settled vanished disappeared subsided ceased passed over finished ended resolved healed went lifted departed abated',
)
export const EASED = set(
  'better easing eased easier improving improved less lessening lessened settling calming calmed fading faded reduced dying wearing lighter',
)
export const WORSE = set(
  'worse ramping ramped building mounting climbing badder worser sorer achier dizzier deafer worsened worsening increasing increased growing grown grows grow spreading spread intensifying intensified escalating stronger deteriorating deteriorated rising sharper louder heavier',
)
export const SAME = set('same unchanged constant')

export const STARTERS_OF_QUESTIONS = set(
  'is are was do does did can could should shall will would may might am has have what when how where which who whats whens anyone',
)
export const AUX = set('is are was do does did can could should shall will would may might am')
export const SUBJECTS = set('it this that there i you we they these those anyone')

export const HYPOTHETICAL = set('if incase unless lest')
/** "if I touch it, it hurts": a trigger, not a supposition. */
export const TRIGGERS = set(
  'lift lifted raise raised let lets press pressed touch touched move moved lie lay laid lean leaned bend bent chew chewed swallow swallowed yawn yawned turn turned stand stood get got pull pulled tug push pushed look walk walked roll rolled eat sit sat cough sneeze blow blew wiggle poke rub open close put shake tilt talk bite breathe',
)

export const RELATIVES = set(
  'dog dogs cat cats grandsons granddaughters brothers sisters neighbours cousins aunty auntys aunties uncles nephews nieces mates sons daughters wifes husbands fella chap bloke lady husband wife hubby hubbys missus missis mrs partner mum mam mother mums dad father dads son daughter sons neighbour neighbor friend friends mate sister brother nan nana nanna gran granny grandma grandad grandson granddaughter grandfather grandmother grandpa aunt auntie uncle cousin niece nephew lodger boyfriend girlfriend colleague colleague grandchild grandkids child children baby kid kids toddler dog cat pet puppy horse bird parrot budgie hamster rabbit cow sheep mil fil inlaw tom-cat colin-the-cat',
)
/** Not of the house: unlikely to be the patient whom the reply is about. */
export const OUTSIDERS = set(
  'neighbour neighbours neighbor friend friends mate mates colleague cousin cousins lodger',
)
export const PETS = set('dog dogs cat cats puppy horse bird parrot budgie hamster rabbit cow sheep')
/** Those for whom a child or carer is likely to type. */
export const ELDERS = set(
  'mum mam mother mums dad father dads nan nana nanna gran granny grandma grandad grandfather grandmother grandpa client resident',
)
export const OTHER_PRONOUNS = set('he she his her him hers')

/** Words that show that the person written about is the one the clinic sees. */
export const PROXY_PHRASES = `
wife|husband|daughter|son|carer|niece|nephew|granddaughter|grandson again|for; wife|husband|daughter|son|carer|sister|brother|neighbour|friend|niece|nephew typing|texting|writing|replying|answering ~2; on behalf of; writing|texting|replying|answering|messaging|typing|asking|reply|answer|text|message|here for ~3; son|daughter|wife|husband|carer|niece|nephew of ~2; for|from my ~1 mum|mam|mother|dad|father|husband|wife|nan|gran|grandma|grandad|nana|hubby|partner|sister|brother|neighbour|friend; it is his|her|mr|mrs|ms|miss ~2 daughter|son|wife|husband|carer|niece|nephew|granddaughter|grandson; this is ~3 daughter|son|wife|husband|carer|niece|nephew|granddaughter|grandson|neighbour|partner|sister|brother|friend|mum; daughter|son|wife|husband|carer|niece|nephew|granddaughter|grandson|neighbour|partner|hubby|hubbie|missus here; i am|im ~2 daughter|son|wife|husband|carer|niece|granddaughter|grandson|neighbour|partner|power; her|his|your ~1 daughter|son|carer|wife|husband ~1 here|speaking|texting|writing; mum|mam|mother|dad|father|husband|wife|nan|gran|grandma|grandad|nana|hubby|he|she says|said|reckons|asked|asks|tells|told|wants|complaining|complains|feels|is your|saw|came|attended|had ~2; carer ~1 for|here|of; he|she|mum|dad|mam ~3 can|could not ~2 text|type|use|see|work; his|her|mums|dads ~2 drops|appointment|visit|procedure|microsuction|phone|checkup|check|removal; he|she ~2 put|had|did|done|used ~3 drops; had ~2 ears|ear ~1 done|cleaned|cleared|suctioned|syringed|hoovered|seen; mum|dad|mam|husband|wife|hubby|nan|gran|grandad|grandma ~2 had ~3 drops|ears|ear ~1 done?; since you|your|the|clinic ~2 did|done|saw|procedure|cleared|cleaned|appointment|suction|microsuction|visit; you ~1 saw|did|cleared|cleaned|treated ~2 her|him|mum|dad; patient is; for the patient; cannot|can not ~1 text|type; re ~2 mum|dad|mother|father
`

/** Long ago, or long settled. */
export const LONG_AGO = `
aged|age 1|2|3|4|5|6|7|8|9|10|11|12|two|three|four|five|six|seven|eight|nine|ten; last year|summer|winter|spring|autumn|christmas|time|easter; years|year|decades|decade ago; yrs ago; ages ago; long ago; long time ago|back; in|back in|since the ~1 past|war|sixties|seventies|eighties|nineties|forties|fifties; as ~2 child|kid|boy|girl|lad|lass|baby|youngster|teenager|bairn; donkeys|donkey years; when|since i was|were ~2 nipper|tot|bairn|child|kid|boy|girl|young|little|small|younger|lad|lass|baby|teenager|bairn|ten|five|six|seven|eight|nine|twelve; in my ~1 childhood|youth|twenties|thirties|forties|fifties|teens; in childhood; used to; previously; in ~1 past; once upon; way back; history of; last time; back then; years back; donkeys years ago; when younger; before ~2 retired|war|married; many moons; ordinal ~1 century; in|around|about year-number; decades ago; months|years|weeks|ages gone; at|last new year; winters|summers|springs|autumns|christmases back|ago|since; dry ~1 sixty|fifty|forty|thirty|twenty years
`
/** Before the procedure, and over. */
export const BEFORE_VISIT = `before ~2 appointment|visit|procedure|treatment|removal|suction|microsuction|clinic|came|coming|operation|seeing|saw|you|suctioned|cleaned|done; prior to ~3; beforehand`
/** While the procedure went on, or in the minutes after it. */
export const AT_VISIT = `during ~2 procedure|appointment|visit|suction|microsuction|treatment|removal|cleaning|it; while you|they|she|he ~2 did|doing|were|was|cleaned|cleaning; at the time; on the day; at the clinic; when you|they|she|he were|was doing; in the chair`
/** For ever, and as it always was. */
export const CHRONIC = `
as usual|always|normal|ever|before; per usual; like|same as always|usual|normal|ever; for years|ages|decades|donkeys|ever; for many|several|some|lots|most|forty|thirty|twenty|ten|fifty ~1 years|yrs; all my|his|her life; always had|been|have|has|was|am; always; since childhood|birth|school|the war|young; since i was ~3; my usual; the usual; usual self; long standing|term|time; longstanding; born with|deaf; had it ~1 years|ages|forever; had that years; years now; nothing new; not new; no change ~2 there; old age; at my age; never been ~1 good|great; have had ~3 years; lifelong; chronic
`
/** Sudden onset. */
export const SUDDEN = `
suddenly|sudden|abruptly|instantly|overnight; all at once; all of a; out of ~1 blue|nowhere; just like that; in ~1 instant|flash|moment|seconds|minutes; came on quick|fast|quickly; without warning; woke ~1 up? ~8 ; like ~1 switch; straight away; this morning; just ~1 gone|went|stopped|lost|started; like flicking; bang ; blew up; from nowhere; in an hour
`
export const LASTING = `
still; constant|constantly|continuous|continuously|continual|nonstop|persistent|persistently|persisting|permanently; non stop; all|whole ~1 day|night|week|time|weekend|morning|afternoon|the; will|does|has not ~1 go|stop|shift|gone|ease|budge|settle|pass|clear|stopped|settled|leave; not going|gone|stopped|stopping|shifting|easing|passed|settling; for|past|last ~2 days|weeks|hours|week|month|months|day; days now; hours now; two|three|four|five|six|seven|several|few|number days|weeks ~2; since ~4 yesterday|morning|monday|tuesday|wednesday|thursday|friday|saturday|sunday|appointment|procedure|visit|friday|week|weekend|last|you|then|the; keeps|keep coming|happening|going|returning|on|getting; on and off; comes and goes; every time|day|hour|morning|night; again and again; again today|now|tonight|this; ever since; never stops|stopped|goes; getting worse; morning till|to|until night; day and night; round the clock; all the time; ordinal|second|third|fourth|fifth|sixth day ~2; not ~2 let|letting|lets up; never let ~1 up; non stop; days on end; all week; for|since ~1 ages
`
export const BRIEF = `
dizzy|funny|giddy|swimmy|woozy ~1 minute|moment|second|spell; half ~1 minute|second; for ~1 minute|moment|second|seconds|minutes|mins|min|while|bit|couple|few; few|couple|five|two|ten|one|half ~2 minutes|seconds|mins|moments|min; briefly|momentarily; short while|time|spell; lasted ~3 minutes|seconds|moment|mins|minute|second; only lasted ~4; passed quickly|off|soon|straight|in; wore off; went|gone off|away ~2 quickly|quick|soon|minutes|fast; soon passed|went|gone|settled|wore|stopped; quick spell; in ~1 chair; car park; on ~2 way home; when i got up ~4 chair; straight after; right after; just after
`
