/** The sure wordings of a dose count themselves, as rules on the words of a reply with its numbers in digits. */

const nth = (m: RegExpExecArray, group: number) => Number(m[group])
const CAN_NOT_TELL = { count: null, unsure: true } as const

const PERIOD_WORDS =
  'morning|am|breakfast|brekkie|lunch|lunchtime|noon|midday|dinner|dinnertime|afternoon|tea|teatime|supper|evening|tonight|night|nicht|pm|bedtime'
export const PERIOD = `(?:${PERIOD_WORDS})`
const periodsIn = (said: string | undefined) => [...(said ?? '').matchAll(new RegExp(PERIOD, 'g'))].length

type Rule = [RegExp, (m: RegExpExecArray) => number | null | typeof CAN_NOT_TELL]

/** Numbers are digits, "twice" is `2x`. First that fits wins; for replies to the question about doses. */
export const ANSWERS: Rule[] = [
  [/^(\d) , at \d/, (m) => nth(m, 1)],
  [/(?<!\bnot (?:even )?)\b(?:a|1) single time\b/, () => 1],
  [/\bat \d{1,2} this \w+ and at \d{1,2}\b/, () => 2],
  [/^(?!.*, at \d).*\b(?:before|after|at) \w+ and again (?:when|after|before|at)\b/, () => 2],
  [new RegExp(`\\bso (?:just|only) (?:the )?(${PERIOD}(?: (?:and|&) ${PERIOD})*)`), (m) => periodsIn(m[1])],
  [/^(?!.*\bwill\b).*\bat \d{1,2} and (?:\w+ ){1,6}at \d{1,2}\b/, () => 2],
  [/^neither (?:dose|lot|time|go)\b/, () => 0],
  [/^(?:i am )?going to .*\btomorrow$/, () => null],
  [/^(?:the )?(?:full|whole|usual) (\d)\b/, (m) => nth(m, 1)],
  [/\bdid (?:the )?(?:1|first)(?: lot| dose| go)? (?:, )?(?:and )?\w+ did the (?:other|second)\b/, () => 2],
  [
    new RegExp(`\\bmissed the ${PERIOD}(?: 1| lot)? so (?:did|done) (?:it|them) at ${PERIOD}\\b(.*)`),
    (m) => 1 + periodsIn(m[1]),
  ],
  // "Only managed breakfast"
  [
    new RegExp(`\\b(?:only|just) (?:managed|did|got|had) (?:the |my )?${PERIOD}\\b(?! (?:and|&|then|,))`),
    () => 1,
  ],
  [/^(?:did|have|has) (?:i|we|he|she) (?:heck|hell|eck|buggery)\b/, () => 0],
  [
    /^(?:just|only) (?:the )?1 (?:go|lot|dose|time)\b(?!.*\b(?:and|then|plus) (?:another|again|1)\b)/,
    () => 1,
  ],
  [/\bat (?:\S+ )?\d{1,2} (?:, )?(?:half |0\.5 )?\d{1,2} (?:and|&) (?:half |0\.5 )?\d{1,2}$/, () => 3],
  [/\bat (?:half|0\.5) \d{1,2} (?:and|&) (?:half|0\.5) \d{1,2}\b/, () => 2],
  [
    /^(?!.*\b(?:will|other)\b)1 (?:in|at|about|before|after|when|this|first)\b.*\b1 (?:in|at|about|before|after|when|last)\b/,
    (m) => [...m.input.matchAll(/\b1 (?:in|at|about|before|after|when|this|first|last)\b/g)].length,
  ],
  [/\b(?:did|done) both$/, () => 2],
  // "9 and 9": clock times, for nobody puts drops in nine times.
  [/^(?:[5-9]|1[0-2])(?: (?:and|&|,|then|\+) (?:[5-9]|1[0-2]))+$/, (m) => [...m[0].matchAll(/\d+/g)].length],
  [
    new RegExp(`^(?:the )?${PERIOD} (?:x|kiss) \\d (?:and |, )?${PERIOD} (?:x|kiss) \\d$`),
    (m) => [...m[0].matchAll(/\d/g)].reduce((sum, n) => sum + Number(n[0]), 0),
  ],
  [/\b(?:doing|on|putting in) number (\d)\b/, (m) => nth(m, 1)],
  [/\bwill be (\d) (?:when|after|once|with|by)\b/, (m) => nth(m, 1) - 1],
  [/\bso only (?:the )?(\d) (?:at|in|before|after|this|went)\b/, (m) => nth(m, 1)],
  [/\bout of (?:the |my )?\d (?:i |we )?(?:did|had|have|managed|got|done)(?: in)? (\d)\b/, (m) => nth(m, 1)],
  [/^(?:yes )?(\d)x? (?:a|per|each|every) day\b/, (m) => nth(m, 1)],
  [/\bbefore and after (?:work|dinner|tea|lunch|breakfast|church|mass|bingo|school|bed)\b/, () => 2],
  [/^(?:just |only )?(?:(?:the |a )(?:1|single)|1 single)(?: time| go| lot| dose| one)?(?: only)?$/, () => 1],
  [
    /\btried (?:it |them )?\dx? .*\bonly (?:got|went|managed|did)(?: it| them| 1)?(?: in)? (\d)x?\b/,
    (m) => nth(m, 1),
  ],
  [
    /\beither \dx? or \d\b|\b\dx? or \dx?\b.*\b(?:lost (?:track|count)|not sure|can not)\b/,
    () => CAN_NOT_TELL,
  ],
  [/\b\dx? ?,? (?:but )?(?:it )?(?:might|may|could) (?:have been|be) \dx?\b/, () => CAN_NOT_TELL],
  [new RegExp(`^(?:at )?${PERIOD}(?: time)? only\\b`), () => 1],
  [/^(?:only|just) the (?:first|second|third|last|other)(?: lot| one| 1| dose| go)?(?= ,| \.|$)/, () => 1],
  [
    new RegExp(
      `^(?:yes )?(?:i (?:do|put) (?:them|it|the drops)(?: in)? )?every ${PERIOD} (?:and|&|,) every ${PERIOD}$`,
    ),
    (m) => periodsIn(m[0]),
  ],
  [
    /^(?:no )?(?:sorry )?(?:i|we|he|she) (?:did|have|has|had|could) not(?: (?:today|love|dear|sorry|yet|i am afraid))*(?: [,.]|$)/,
    () => 0,
  ],
  [/\bso (?:no|none|nil|not today|not done)$/, () => 0],
  [/^(?:no )?(?:,? )?(?:not|none|nothing) (?:yet )?today\b.*\byesterday\b/, () => 0],
  [/\bat (\d{1,2}) ,? ?(\d{1,2}) (?:and|&|,) (\d{1,2})\b(?! (?:drop|time|minute|each))/, () => 3],
  [/\bat (\d{1,2}(?: (?:,|and|&)(?: at)? \d{1,2}){2,})$/, (m) => [...(m[1] ?? '').matchAll(/\d+/g)].length],
  [new RegExp(`^${PERIOD}(?: [.,](?: and)? ${PERIOD})+$`), (m) => periodsIn(m[0])],
  [/^not (?:even )?a single (?:time|1|go|lot|dose)\b/, () => 0],
  [/^all but 1\b/, () => null],
  [
    /^(?!.*\bwill (?:put|do|use)\b).*\b(?:drops|oil|them)(?: went| were| are)?(?: in| done)? (\d)x\b/,
    (m) => nth(m, 1),
  ],
  [
    /^(?:i )?(?:did not|have not|not) (?:do|done|put|use|used|had|have|manage)(?: in)? (?:the |my |any )?(?:drops|oil|any|them)\b(?!.* but )/,
    () => 0,
  ],
  [
    /^(?!.*\b(?:missed|forgot|skipped)\b)(?!every)(?:.*[ ,])?(\d) ?(?:of|out of|\/) ?(?:the |my |them )?(\d)\b(?! (drops|minutes|days))/,
    (m) => nth(m, 1),
  ],
  [/\bevery 1 of (?:the |my |them )*(\d)\b/, (m) => nth(m, 1)],
  // The last word counts: "3, no sorry, 2".
  [
    /\b(?:no|sorry|wait|mean|meant|rather|actually|correction)(?: ,)?(?: (?:no|sorry|i mean|make that|it was|only|just|that is))*(?: ,)? (\d)x?( times?)?( today)?$/,
    (m) => nth(m, 1),
  ],
  [/\b(?:did|had|put|done) mine(?: in)? (\d)x?\b/, (m) => nth(m, 1)],
  [/\b(?:was|only|just) (\d) times?\b/, (m) => nth(m, 1)],
  [
    /^not (?:in |the )*(?:morning|lunch|midday|afternoon|evening|night|bedtime|tea) ,? ?(?:but )?(?:only|just) /,
    () => 1,
  ],
  [
    /^(?:just|only) (?:the )?(?:morning|evening|night|lunchtime|teatime|bedtime|breakfast|dinner)(?: 1| one| ones| drops| lot| dose| go)?(?: today| so far)?(?= ,| \.|$)/,
    () => 1,
  ],
  [/^missed (?:the )?(?:morning|evening|night|lunchtime|teatime)(?: 1| one| lot| dose)?$/, () => null],
  [
    /^(?:i )?did it(?! a? ?couple)(?!.*\b(?:am|pm|breakfast|lunch|dinner|tea|supper|bedtime|noon|morning|evening|night|before|after|when|few|times|\dx?)\b)/,
    (m) => 1 + [...m.input.matchAll(/\bagain\b/g)].length,
  ],
  [
    /\bnot (?:started|begun|opened)\b|^(?!.*\b\dx?\b(?! (am|pm))).*\bbottle (?:is|was) (?:still )?(?:at|in) (?!the (?:ear|line))/,
    () => 0,
  ],
  [/\b(\d) (?:in )?(?:already|down|done|so far|up to now|until now|till now)\b/, (m) => nth(m, 1)],
  [
    /\b(can not|not|cannot|never) (remember|sure|recall|know|certain)\b.*\b(\d)x? (or|and|-) (\d)/,
    () => CAN_NOT_TELL,
  ],
  [/\b\d ?,? (it )?(might|may|could) (have been|be) \d/, () => CAN_NOT_TELL],
  [/\btoday (only |just )?(the )?(\d)x?( |$)(?!drop|ear|or)/, (m) => nth(m, 3)],
  [/\bnot (\d) ,? ?(but |only |just )*(\d)x?$/, (m) => nth(m, 3)],
  [/\bso (just |only |that is )?(the )?(\d)x?( in all| today| then)?$/, (m) => nth(m, 3)],
  [/, then (just |only )?(the )?(\d)x?$/, (m) => nth(m, 3)],
  [
    /\b(only|just) (did|done|managed|had|got) (the )?(\d)x?( |$)(?!drop|ear|side|minute|out|of|more|left|right)/,
    (m) => nth(m, 4),
  ],
  [/^(all|every 1 of|each of)( of)?( the)? (\d)( done| today| in)?$/, (m) => nth(m, 4)],
  [/^(neither|neither of them|not either)( of them)?( today)?(?= ,|$)/, () => 0],
  [
    /\b(missed|forgot|skipped) the (first|morning|1) .*\b(did|done|had) the (second|third|other 2)( and( the)? (third|fourth|last))?/,
    (m) => (m[5] || m[4] === 'other 2' ? 2 : 1),
  ],
  [
    /\b(forgot|missed|skipped) the \w+( 1| one| lot| dose)? but (did|had|done) (.*)$/,
    (m) => [...(m[4] ?? '').matchAll(new RegExp(`\\b${PERIOD}\\b`, 'g'))].length || null,
  ],
  [
    /^(just |only |did |done )*(the )?(first thing|this morning|morning|breakfast|first)( \w+){0,2} (but |then )?(missed|forgot|skipped) (the |all the )?(rest|others?|second|last)/,
    () => 1,
  ],
  [/^(i )?(have |only )?(forgot|missed|forgotten|skipped) the (second|other|evening|night)( 1)?$/, () => 1],
  [/^(\d)x? (down|so far|done)\b/, (m) => nth(m, 1)],
  [/\b(\d)x? (so far|up to now|until now|till now|thus far)\b/, (m) => nth(m, 1)],
  [/\b(missed|forgot|skipped) (\d) (of|out of) (my |the |them )?(\d)\b/, (m) => nth(m, 5) - nth(m, 2)],
  [/\b(will|would) make (it )?(\d)\b/, (m) => Math.max(0, nth(m, 3) - 1)],
  [/\b(\d)x? (session|sessions|sitting|sittings|application|applications|rounds?)\b/, (m) => nth(m, 1)],
  [/\bhad (his|her|my|their) (\d)( |$)(?!drop)/, (m) => nth(m, 2)],
  [/(^|, |and |only ,? ?)1 time( |$)/, () => 1],
  [/^1 \. (\d)$/, (m) => nth(m, 1)],
  [/\b(none|nothing|not) since( then)?$/, () => 1],
  [/^not yet\b(?!.*\b(did|had|done)\b)/, () => 0],
  [/\bstopped (on|since|last|them|it|using)\b/, () => 0],
]

/** Read in any reply before the visit. */
export const TOLD: Rule[] = [
  [/\bwent in at [^.]* and again at\b/, () => 2],
  [/\b(?:drops|oil)\b[^.?]*\bthis morning and (?:again )?(?:this (?:evening|afternoon)|tonight)\b/, () => 2],
  [/\b(?:drops|them|hers|his)\b.*\bat \d{1,2}\b(?: \w+){0,5} and at \d{1,2}\b/, () => 2],
  [/\b1x\b[^.?]*\band 1x\b/, (m) => [...m.input.matchAll(/\b1x\b/g)].length],
  [/\b(?:nothing|none|not) as yet(?: today)?$/, () => 0],
  [
    /^(?:the |my )?(first|second|third) (?:lot|dose|go)(?: has| have)?(?: just| now)* (?:gone in|in|done|went in)\b(?!.*\b(?:first|second|third|other|next)\b)/,
    (m) => ['first', 'second', 'third'].indexOf(m[1] ?? '') + 1,
  ],
  // What is twice, or put, and is no dose.
  [
    /\b2x (?:it is|its|the|her|his|my) (?:normal |usual )?size\b|\bhappened \dx\b|\bnever to (?:put|use)\b/,
    () => null,
  ],
  [
    /\b(?:after|with|since) (?:the |my )?second (?:lot|dose|go)(?: of (?:the |my )?drops)? (?:today|of the day)\b/,
    () => 2,
  ],
  [/\bstop(?:ped)? after (?:the )?(\d|first) (?:lot|dose|go)\b/, (m) => (m[1] === 'first' ? 1 : nth(m, 1))],
  [/\bnot a 1 today\b|\b(?:nothing|none|not) yet today\b|\bso no drops\b/, () => 0],
  [/\b(?:administered|given|instilled|applied) (?:at|around) \d+ (?:and|&) \d+\b/, () => 2],
  [/\b(?:drops|them)(?: in| done)? (\d) (?:x|kiss)(?= [.,]|$)/, (m) => nth(m, 1)],
  [new RegExp(`\\bonly got the ${PERIOD} (?:drops|1|lot|dose)\\b`), () => 1],
  [
    new RegExp(
      `^(?:yes ,? ?)?(${PERIOD}(?: (?:,|and|&|n) ?${PERIOD})*(?: ,? ?(?:and|&|n) ${PERIOD}))(?= [,.]|$)`,
    ),
    (m) => periodsIn(m[1]),
  ],
  [/\b(?:just|only) before bed\b.*\b(?:only|1)\b/, () => 1],
  [/\b(?:forgot|missed|skipped) (?:hers|his|mine|theirs) (?:all )?today\b/, () => 0],
  // "Drops this morning and again at teatime"
  [
    new RegExp(
      `(?<!\\b(?:forgot|missed|skipped|no|not)(?: the| my)? )\\b(?:drops|oil)(?: in| done| went in)? (?:this |in the |at )?${PERIOD} (?:and|then|,) (?:then )?again (?:at|before|after|in|this|last)\\b`,
    ),
    () => 2,
  ],
  [
    new RegExp(
      `\\b(?<!(?:after|since) (?:the |my )?)(?<!\\d )(?<!\\b(?:forgot|missed|skipped|no|not)(?: the| my| to do| to do the| to do my)? )(?:drops|oil)(?: in| done| went in| have gone in)?(?: ok| fine| well)? (?:this |in the |at )?((?!tonight)${PERIOD}(?:(?: ,)?(?: (?:and|&|then))? ${PERIOD})*)(?! (?:and|&|,|then) (?:then |again )?(?:after|before|at|again|last|first|when))`,
    ),
    (m) => periodsIn(m[1]),
  ],
  [new RegExp(`\\b(${PERIOD}(?: (?:and|&|,) ${PERIOD})+) (?:drops|oil|doses?)\\b`), (m) => periodsIn(m[1])],
  // "Morning drops in, evening drops in."
  [
    new RegExp(
      `\\b${PERIOD} (?:drops|lot|dose|1)(?: are| went| is| was)? (?:in|done)\\b.*\\b${PERIOD} (?:drops|lot|dose|1)(?: are| went| is| was)? (?:in|done)\\b`,
    ),
    (m) =>
      [
        ...m.input.matchAll(
          new RegExp(`\\b${PERIOD} (?:drops|lot|dose|1)(?: are| went| is| was)? (?:in|done)\\b`, 'g'),
        ),
      ].length,
  ],
  [
    new RegExp(`\\b(?:drops|oil)\\b[^.?!]*? , (${PERIOD}(?: (?:and|&|,|then) ${PERIOD})*) today\\b`),
    (m) => periodsIn(m[1]),
  ],
  [
    /\b(?:drops|oil)(?: in| done)? (\d{1,2} (?:am|pm)(?: ?(?:,|and|&|then) ?\d{1,2} (?:am|pm))*)/,
    (m) => [...(m[1] ?? '').matchAll(/\d+/g)].length,
  ],
  // "Drops after breakfast, after dinner and before bed"
  [
    /\b(?:drops|oil)(?: in| done| went in)?((?: (?:,|and|then|,? and then))*(?: (?:after|before|at|with|on) (?:my |her |his )?[a-z]+)(?:(?: ,)?(?: and)?(?: then)? (?:after|before|at|with|on) (?:my |her |his )?[a-z]+)+)/,
    (m) => [...(m[1] ?? '').matchAll(/\b(?:after|before|at|with|on)\b/g)].length,
  ],
  [/\byesterday\b.*\b(\d)x (?:already |so far |only )?today\b/, (m) => nth(m, 1)],
  [/^(\d) (?:x|kiss)(?= today| so far)/, (m) => nth(m, 1)],
  [/\bput (?:them |it |the drops )?in first thing and last thing\b/, () => 2],
  [/^(\d)x(?= [,.]| so far| today| and )/, (m) => nth(m, 1)],
  [/\b(?:drops|oil) ?[:=-] ?(\d)x?\b/, (m) => nth(m, 1)],
  [
    /\b(?:drops|oil|them|mine|did left|did right|did both)(?: in| done)? at (\d{1,2}(?: (?:am|pm))?(?: ?(?:,|and|&|,? then) ?(?:at )?\d{1,2}(?: (?:am|pm))?)*)(?! \d)(?!.*\b(?:second|again|[23]x|then)\b)/,
    (m) => [...(m[1] ?? '').matchAll(/\d+/g)].length,
  ],
  [
    /\b(?:drops|oil)(?: in| done)? (\d{1,2}) and (\d{1,2})\b(?! (drop|time|lot|minute))/,
    (m) => (nth(m, 1) > 4 && nth(m, 2) > 4 ? 2 : null),
  ],
  [
    /\bforgot (?:to do |to put |all about )?(?:the |my )?(?:drops|oil)\b(?!.*\b(?:\d|morning|evening|night)\b)/,
    () => 0,
  ],
  [
    /\bnot (?:done|had|put|did|used|managed) (?:any|it|them|mine|the drops|my drops)(?: in)?(?: yet)? today\b/,
    () => 0,
  ],
  [/\bnot (?:done|had|put|did|used) (?:it|them|any|mine|the drops)(?: in)? yet\b/, () => 0],
  [/\bif i (forget|miss|skip)\b/, () => null],
  [/\bnot a (single )?drop\b/, () => 0],
  [/\btoo (painful|sore|tender|dizzy|poorly) to (put|do|use|get)\b/, () => 0],
  [/\b(none|nothing) today\b(?!.*\b(did|had)\b)/, () => 0],
  [/\bnot (bothering|using|doing) (with )?(any|them|drops|the drops|it)\b/, () => 0],
  [/\bstart(ing)?( them| it)? tomorrow\b/, () => 0],
  [
    /\b(drops|done|did|oil) (x |kiss )?(\d)x\b(?!.*\b\dx\b)|\b(drops|done|did|oil) (?:x|kiss) (\d)\b/,
    (m) => Number(m[3] ?? m[5]),
  ],
  [/\bboth (times|lots|doses|goes)( are| went)? (in|done)\b/, () => 2],
  [/^(\d) (go|goes|lot|lots) (and|then|in)\b(?!.*\band \d\b)/, (m) => nth(m, 1)],
  [/\b(put|did|had|done) (the |my )?first (ones|1|lot|dose)\b(?!.*second)/, () => 1],
]
