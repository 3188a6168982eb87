/** Of the terms of doses those that are counted. As data, after those of dose-terms.ts: the first that fits wins. */
import {
  any,
  count,
  counted,
  DAYTIME,
  LOT,
  type Make,
  moment,
  momentAt,
  NUMBER,
  n,
  nth,
  plain,
  status,
  THEM,
  TIMES,
} from './dose-words.ts'

const ordinal = (word: string | undefined) => ['first', 'second', 'third', 'fourth'].indexOf(word ?? '') + 1
/** "The others", "the rest": however many. */
const SEVERAL = /rest|remain|others(?! (?:1|one|lot|dose))/

/** ... and the items that are counted, with the words that say they were done. */
export const COUNTED_TERMS: [string, Make][] = [
  // Counts.
  [any`${NUMBER} and (?:a )?(?:half|0\.5)(?! past| \d)`, plain('unsure')],
  [
    any`(?:stopped|gave up|quit|finished|packed it in|left it) after (?:the |my |just |only )*(?:first|(\d)
    |(?:${DAYTIME}))(?: ${LOT})?`,
    (m) => counted(Number(m[1] ?? 1), 'times'),
  ],
  [
    any`(${NUMBER})(?: (?:lots?|doses?|goes|times?|1s?))? ?(?:of|out of|outa|oot of|out|/|from)(?: (?:the|my
    |a|possible|todays|today|them|those|planned|usual|her|his|of))* ([1-8])(?! (?:drops?|minutes?|days?
    |ears?))(?: (?:doses?|times|lots?|goes))?`,
    count('part'),
  ],
  [
    any`half (?:of )?(?:the |my |a )*(?:prescribed |usual |full )?(\d)(?! drops)`,
    (m) => counted(n(m) / 2, 'part', n(m)),
  ],
  [any`(${NUMBER}) of (?:them|those|the (?:doses|lots|goes|times|drops)|my doses)`, count('part')],
  [
    any`(?:all|every 1 of|each of|each and every 1 of|all of|did all|the full|the whole|the usual|full|whole
    |usual|required|complete|regulation|my usual|his usual|her usual|normal|the normal|the set
    |the prescribed|the required)(?: ${THEM})* (${NUMBER})(?: ${TIMES})?(?! (?:drops|ears|minutes?|mins
    |days|hours))`,
    count('all'),
  ],
  [any`that is (?:all|it|me done|my lot)(?= ?[,.]|$)`, plain('ends')],
  [
    any`(?:(?:is|am|are)(?: up)? (?:at|to)|up to) (\d)(?= (?:for|so far|today|now|at the moment)| ?[,.]|$)`,
    count('bare'),
  ],
  [
    any`out of (?:the |my )?(\d)|of (?:the|my) (\d)(?= ?[,.!]|$| so far| today| done)`,
    (m) => ({ is: 'whole', value: Number(m[1] ?? m[2]) }),
  ],
  [
    any`(?:every|each) (?:single )?(?:time|dose|go|lot|1)(?: of them)?|all of (?:them|it)
    |all (?:the )?(?:doses|times|lots|goes)|the (?:whole )?lot|all done|full (?:course|quota|set)`,
    () => counted(null, 'all'),
  ],
  [any`1 and only 1|(?:that|it|which) (?:was|is) the only (?:time|lot|dose|go)`, count('times', 1)],
  [any`\d{1,2} and \d{1,2} (?:visits|calls|rounds|oclocks)`, count('times', 2)],
  [
    any`(?:all )?(?:both(?: of)?(?: ${THEM})*(?: (?:times?|lots?|doses?|goes|1s|ones?|sets?|them
    |applications|sessions))?|the pair of them)(?! (?:ears?|sides?|lugs?|kids|boys|girls|children|hands
    |parents|daughters|sons|grandkids|dogs|legs|eyes|of us|morning|mornings|am|breakfast|before|at|of))`,
    count('all', 2),
  ],
  [
    any`(?:a |the )?(?:couple|cpl|pair)(?: of| o)? ${TIMES}|(?:a |the )?(?:couple|pair)(?= (?:today|so far
    |done|in|of lots)| ?[,.]|$)`,
    count('times', 2),
  ],
  [
    any`(?:(?:am|was|is|just|only) )*(?:doing|did|done|had|put in
    |putting in) the last of (?:the |my |her |his )?(\d)`,
    count('times'),
  ],
  [any`(?:the |my )?first ([2-4])(?! (?:times|thing|am|pm|oclock|[.:]))`, count('bare')],
  [any`(\d) (?:was|is) the (?:plan|idea|aim|target)`, status('meant', true)],
  [any`half (?:of )?(?:them|those|it)(?= ?[,.]|$| (?:today|so far|done))`, () => counted(0.5, 'part')],
  [any`the ([5-9]|1[0-2])(?= ?[,.]|$| (?:and|when|tonight)\b)`, moment],
  [any`(?<=\b(?:[1-4]|and) )now(?= ?[,.]|$)`, moment],
  [any`(?:the |just )*1x again`, count('times', 1)],
  [
    any`(?:and )?(?:then )?(?:again|another(?: ${LOT})?(?! (?:date|day|appointment|slot|visit|week|text
    |message))|1x? more(?: ${TIMES})?|same again|repeat(?:ed)?|a second ${LOT}|(?<=(?:and|then
    |,) )1x again|another go)`,
    () => ({ is: 'again', value: 1 }),
  ],
  [
    any`(?:and )?(?:then )?(${NUMBER})x? more(?: ${TIMES})?|another (${NUMBER})(?: ${TIMES})?`,
    (m) => ({ is: 'again', value: Number(m[1] ?? m[2]) }),
  ],
  [any`(?:just |only )?(?:the |a )?(?:single|lone|solitary|sole|1 single|odd) ${LOT}`, count('times', 1)],
  [
    any`(?:after|since|with|from) (?:the |my |his |her )*(first|second|third)(?: (?:lot|dose|go|1|ones?
    |drops|set))(?: of (?:the |my )?drops)?(?! (?:of the day|today|of drops today))`,
    (m) => nth(ordinal(m[1]), { after: true }),
  ],
  [any`(?:number|no|dose|lot|go) (\d)(?! (?:${TIMES}|of|times))`, (m) => nth(n(m))],
  [
    any`(?:the |my |todays |her |his |that |this |a |on |its )*(first|second|third|fourth)(?: (?:and
    |&) (second|third|last|final))?(?: and only)?(?: ${LOT}|(?= (?:done|in|at|after|while|whilst|during
    |before|went|of|just|now|with|when|about|around|before|will|on|by|was|and|missed|forgotten|to|this
    |still)| ?[,.]|$))(?! thing)`,
    (m) => (m[2] && (ordinal(m[2]) > 0 || ordinal(m[1]) === 1) ? counted(2, 'times') : nth(ordinal(m[1]))),
  ],
  [
    any`(?:the |my |its |her |his )*(?:last|final)(?: ${LOT}|(?= (?:was|is|to|still|1)| ?[,.]|$))(?! thing)`,
    () => ({ is: 'others', value: 1 }),
  ],
  [
    any`(?:the |my |its )*(?:(?:others?(?= (?:\d|${LOT}|at|in|before|after|by|i|was|is|went|to|still)\b
    | ?[,.]|$)|rest|remaining|remainder)(?: (\d))?(?: (?:${LOT}|of (?:them|the (?:day|doses
    |drops))))?)(?! (?:ear|side|day|hand|night))`,
    (m) => ({ is: 'others', value: m[1] ? Number(m[1]) : SEVERAL.test(m[0] ?? '') ? null : 1 }),
  ],
  [
    any`(${NUMBER})x(?: (?:a|per|each|every) day)?|(${NUMBER}) (?:(?:full|whole|proper|good|separate
    |different|complete|of my|of the|out of|decent) )*${TIMES}(?: (?:a|per|each|every) day)?|(?:x|kiss
    |\*) (${NUMBER})|(${NUMBER})x? (?:a|per|each|every) day`,
    (m) => counted(Number(m[1] ?? m[2] ?? m[3] ?? m[4]), 'times'),
  ],
  // Moments of the day.
  [any`(?<=\b(?:1x|2x|3x|1|2|3) )(?:before|after)(?= ?[,.]|$)`, moment],
  [any`before and after(?: the| my)? [a-z]+`, count('times', 2)],
  [
    any`(?:between|from) (?:my |the )?(?:${DAYTIME}|${NUMBER}) (?:and|to|until
    |till) (?:my |the )?(?:${DAYTIME}|${NUMBER})`,
    moment,
  ],
  [
    any`(?:the |this |very |right |at )*(?:first|last) thing(?: (?:this|in the|at|every|of the
    |before) (?:${DAYTIME}|day))?`,
    (m) => momentAt(m[0]?.includes('first') ? 'first thing' : 'last thing'),
  ],
  [any`in the day(?:time)?`, moment],
  [
    any`(?:just|only just|right) (?:there )?now|just gone(?= in|ok| ?[,.]|$)|just there
    |(?:a |an |1 |half an |couple of |few )*(?:hours?|minutes?|mins?|while|moment|bit) (?:ago|since
    |back)|lights out|(?:on |after |before |upon |at )?(?:getting up|waking up|waking|rising|retiring
    |wakening|turning in|going (?:to bed|up)|getting ready for bed)`,
    moment,
  ],
  [
    any`(?:(?:in|at|on|this|that|the|my|early|late|mid|before|after|just|straight|right|with|for|around
    |about|during|over|by|todays|of|his|her|our|me|every|each|when|it|was|having|eating
    |had) )*(${DAYTIME})(?: (?:time|meal|drops
    |1s?(?! (?:in |at |this |before |after |the )*(?:${DAYTIME})\b| (?:about|around|at|when|after|before
    |with|on) )|ones|lots?|dose|go|session|application|set|1 today|today|cuppa|tablets|meds|medication
    |pills|round|shift|walk|feed|visit|call|carers?|girls?|nurse|lad))*`,
    (m) => momentAt((m[1] ?? '').replace(/s$/, '').replace(/time$/, '')),
  ],
  [
    any`(?:when|after|before|once|till) (?:i|we|he|she|my \w+|our \w+|(?!you\b)[a-z]+) (?:gets?|goes|comes?
    |go|has|have|is|are)(?: (?!(?:and|then|but)\b)[a-z]+){0,3}`,
    (m) => momentAt(m[0] ?? '', true, true),
  ],
  [
    any`(?:(?:just|straight|right|soon|shortly|mid|an hour|half an hour|not long) )*(?:before|after|when
    |while|whilst|during|as soon as|soon as|following|once (?=(?:the|my|i|we|she|he|they|it)\b)
    |with (?=(?:the|my|his|her) (?:tablets|pills|meds|medication|medicine|insulin|cuppa|coffee|cocoa
    |carer|nurse|news|shower|bath)))(?! (?:is|was|that|it all|all|then|you|your|this|drops?|oil
    |the drops|the procedure|the appointment|my appointment|my visit|${NUMBER} days|a few days|using
    |putting|doing|a while|the first|the second|i put|i do|i use|i lie|i did|i forgot|i missed|they go
    |it goes|i remember to)\b)(?: (?!(?:and|then|but|again|so|i did|did|done|will|forgot|missed|because
    |before|after|when|while)\b|(?:at|about|around) \d)[a-z]+){1,6}`,
    (m) => momentAt(m[0] ?? '', true),
  ],
  [
    any`(?:on |at |in )?(?:the |my )?(?:first|second|third|last|morning|afternoon|tea|lunch|coffee
    |smoke) break|(?:at |in |on |over |by |from )(?:the |my )?(?:home|school|office|desk|canteen|van|gym
    |work|start of shift|end of shift|mine|church|break|breaktime|school run|news|soaps|corrie|archers
    |sunset|playtime|half time|full time|interval)|wake up(?: time)?|(?:i )?(?:got up|woke up|went up
    |went to bed)|with (?:my |the |his |her )?(?:porridge|soup|toast|cereal|sandwich|sandwiches|horlick
    |milk|biscuits?|dinner|meal|meals|food|pudding|cake)`,
    (m) => momentAt(m[0] ?? '', true),
  ],
  [any`(?:the )?(?:early|late|later|midday|middle) (?:1|visit|call|lot|dose|go)`, moment],
  // Done.
  [
    any`(?:(?:have|has|had|been|managed|remembered|able|got|did) )*(?:done|did|do(?= (?:it|them|mine|the|my
    |drops|hers|his|him|her|mum|mam|dad|\d))|put|used|use|taken|took|applied|managed|manage|completed
    |finished|given|gave|popped(?= (?:it|them|em|some|the|1|drops|\d|in twice))|got(?! (?:missed
    |forgotten|skipped|in the way|away|late|up|home|back))|squirted|poured|dropped(?= (?:it|them|some
    |the drops|\d|drops) )|instilled|administered|(?:went|gone|go)(?= (?:in|ok|fine|well|at|this
    |after)\b)|sorted|remembered|ticked|dosed|had|down(?! (?:to|the|at|with))|logged|all logged
    |(?:is |are |all |was |went |gone )?in(?= ?[,.]|$)|(?:was|were) in(?= (?:before|after|at|by)\b)
    |under my belt|in the bag|been using|using|in already|made|doing|dripped|dribbled|lashed|bunged
    |stuck|whacked|slapped|shoved|plopped|treated|oiled|succeeded|got round to)(?: (?:it|them|mine|hers
    |his|in|the drops|my drops|my(?! 1)|the(?! 1)|all|her|him|to))*`,
    status('done', true),
  ],
  [any`(?:no|not) to(?= )|no(?= (?:first|second|third|fourth|last)\b)`, status('missed')],
  [any`yes to(?= )`, status('done')],
  [any`no(?= ?(?:[,.;()]|and|but|because|as|cos|since|$))|x(?= ?(?:[,.;]|$))|emoji-no`, plain('no')],
  [any`yes|yep|tick|emoji-yes|achieved`, plain('yes')],
  [any`correct|ok|fine|good|tick|achieved`, plain('word')],
  [any`(?<=\b(?:them|it|drops) in )now`, moment],
  [any`today|the day|this day|now`, plain('today')],
  [any`so far|up to now|this far|thus far|until now|till now|to date|as yet`, plain('so-far')],
  [
    any`(?:so )?(?:that is|that was|makes|making|makes it|totalling|total of|total|equals|=|so|which is
    |i make it|all in all|thats)(?: (?:it|was|were|only|just|the|a total of|a|:
    |,))* ([0-5])x?(?: ${TIMES})?(?: (?:in all|in total|altogether|all told|i make it|by my count
    |by my reckoning|so far|today|then|for today|for now|that is))*(?= ?[,.!]|$| i (?:suppose|think
    |guess|reckon)| really| thanks| thank| ta| love| dear| pet)|(${NUMBER})x?(?: ${TIMES})? (?:in all
    |in total|altogether|all told|total|i make it|all in|overall|that is)(?: today)?(?= ?[,.!]|$)`,
    (m) => counted(Number(m[1] ?? m[2]), 'sum'),
  ],
  [any`in total|in all|altogether|total|overall`, plain('word')],
  [any`drops?|oil|olive|almond|bicarb|bicarbonate|sodium|doses?|dropper|eardrops|spray`, plain('drops')],
  [any`(${NUMBER})`, count('bare')],
  [any`[.!;\n?)(]|emoji-\S+`, plain('stop')],
  [any`,|:|-`, plain('comma')],
  [
    any`but|though|although|however|except|because|cos|since|so|as|only(?= (?:for|that|because))|due to
    |while|yet`,
    plain('but'),
  ],
  [any`and|&|\+|plus|then|n|also|too|with`, plain('and')],
]
