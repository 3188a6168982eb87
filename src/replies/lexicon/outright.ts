/**
 * What a patient says outright, with its subject and its verb, in the words that spelling and contractions were turned
 * into ("I've" is "i have", "won't" is "will not"). Whatever was asked, supposed or told of others before it, this is told.
 */
const I = '(?:(?:i|we)(?: have| had)?(?: (?:just|suddenly|now|also|actually|completely|then|only))*)'
const VERY =
  '(?:(?:a|some|really|very|such|so|quite|bad|terrible|awful|severe|dreadful|shocking|horrible|crushing|agonising|excruciating|wicked|this) )*'
const STRONG =
  '(?:really bad|very bad|bad|terrible|awful|severe|dreadful|shocking|horrible|agonising|excruciating|wicked|unbearable)'
const BECAME =
  '(?:(?:has|have|had|is|are|was|were|went|go|going|gone|come|came|coming|feel|feels|got|all|just|suddenly|completely|out|really|very|so|started|being|be|to) )*'
const SIDE = '(?:(?:whole|left|right|other|bad|treated|poor|one side of my) )?'

export const OUTRIGHT: readonly string[] = [
  `${I} (?:passed out|blacked out|fainted|collapsed|keeled over)`,
  `${I} had (?:a|another) (?:fit|seizure|stroke|blackout|funny turn)`,
  `${I} (?:lost (?:all )?(?:my|the) hearing|(?:gone|went|go) (?:stone |completely |totally |suddenly |very )*deaf)(?! (?:a (?:bit|little|touch)|slightly|some))`,
  `my ${SIDE}ear ${BECAME}(?:deaf|silent)`,
  '(?:can|could) not hear (?:\\w+ ){0,3}(?:at all|out of (?:it|my|that|the)|(?:in|on) (?:that|my|the|1) (?:side|ear|left|right))',
  'my hearing (?:has |is )?(?:just |all |completely |suddenly |totally )*(?:gone|went|vanished|disappeared)(?! (?:back|up|from|to|and come|down|downhill|off|a|worse|quiet|dull|muffled|better|a bit|fuzzy|through|over))',
  `(?:(?:i|we) )?(?:have|have got|got|am having|am getting|keep getting) ${VERY}(?:chest pains?|tight chest|pains? in (?:my|the) chest)`,
  `i (?:have|have got|got|am having|am getting|am in) (?:a |some |so |such )*${STRONG} (?:earache|ear ache|pain|pains)`,
  'no feeling (?:all )?(?:down|in|on) (?:my |the |1 side of my )?(?:left |right |whole )?(?:arm|leg|side|face|hand)',
  '(?:it )?(?:stinks|reeks) like (?:rotten|something|a|bad|cheese|fish|drains|death)',
  '(?:absolute |pure |sheer )?agony (?:all|since|now|today|tonight|with it)',
  '(?:pain|it) (?:is |now )*(?:a |an |at |about )?(?:7|8|9|10|seven|eight|nine|ten) (?:out of|/) (?:10|ten)',
  '(?:just )?want(?:ing)? to (?:die|be dead|end it all|kill myself|end my life)(?! (?:of|laughing|with laughter))',
  'i am (?:thinking (?:of|about)|going to|planning to) (?:kill|end|hurt|harm)(?:ing)? (?:myself|it all|my life)',
  '(?:can|could) not (?:breathe|swallow|stand up|stand|walk straight|walk|feel (?:my|half my) face|get my (?:words|breath)|move (?:my|1 side|half|the (?:left|right))(?: \\w+){0,3}? (?:face|arm|leg|mouth|side))',
  `my ${SIDE}(?:face|mouth|eyelid|lip|cheek|smile) ${BECAME}(?:dropped|drooped|drooping|droopy|fallen|numb|slack|crooked|lopsided|twisted|paralysed)`,
  `(?:1|one) side of my (?:face|mouth) ${BECAME}(?:slipped|dropped|drooped|drooping|droopy|fallen|numb|slack)`,
  `my (?:speech|words|talking) ${BECAME}(?:slurred|slurry|slurring|jumbled|muddled|garbled|funny|wrong)`,
  `my ${SIDE}(?:arm|leg|hand) ${BECAME}(?:weak|numb|dead|limp|useless)`,
  `(?:my )?(?:throat|tongue) ${BECAME}(?:swollen|swelling|closing|closed|puffed|swelled)`,
  '(?:will|would|does|has|did) not (?:stop|stopped) (?:bleeding|pouring)',
  'blood (?:is )?(?:pouring|gushing|streaming) (?:out|down|from)',
  'struggling (?:for|to) (?:breath|breathe)',
  'so (?:dizzy|giddy) (?:that )?i keep falling',
  'it is still (?:bleeding|pouring)(?: blood)?',
  `my ${SIDE}ears? (?:now |still )?(?:is |are |has |have |keeps? )?(?:been |started |now |still )*(?:bleeding|pouring|oozing|weeping)(?! (?:a |the )?(?:wax|oil|drops?|water))`,
  `my ${SIDE}ears? (?:really |now |still )*(?:smells|stinks|reeks|pongs)(?: (?:bad|foul|awful|terrible|rotten))?(?! (?:of|like) (?:oil|olive|almond|soap|roses|chips))`,
  'pus (?:is )?(?:coming|running|pouring|dripping|oozing) out',
  'there is (?:now |still |some |a lot of )*(?:pus|blood|(?:green|yellow|smelly|brown) (?:stuff|gunk|goo|muck|discharge)) (?:coming|running|pouring|oozing|dripping|leaking)',
  '(?:the|my) pain (?:is|has got|has become|gets|got|keeps getting|is getting)(?: so| much| a lot| far| loads| way)* worse',
  '(?:the )?(?:whole )?room (?:is|keeps|will not stop|has been) spinning',
]

/** What may stand before such words and takes the telling from them. */
export const UNTOLD =
  'if unless case whether wonder wondering think thinks thought say says said saying reckon reckons imagine suppose supposing dreamt dreamed until till when whenever before not never nearly almost like would do did does have has am is are he she they you the his her'
