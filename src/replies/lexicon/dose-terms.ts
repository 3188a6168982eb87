/**
 * The terms in which people tell how often the drops went in: counts, moments of the day, ordinals, and words that
 * say whether these were done, missed, are still to come, or belong to another day. As data: the first that fits wins.
 * The words of a reply stand there one blank apart, marks too, with numbers in digits and "twice" as `2x`.
 */
import {
  any,
  counted,
  DAYTIME,
  LOT,
  type Make,
  moment,
  NUMBER,
  n,
  nth,
  plain,
  SOFT,
  status,
  TIMES,
  UNIT,
} from './dose-words.ts'

/** A "not" with what was not done: it may stand behind what it tells of. */
const NOT_DONE =
  /\b(?:done|do|did|had|have|put|used?|using|managed?|get|got|gone|went|came|given?|take|taken|happen(?:ed)?|remember(?:ed)?|able|yet|started?|touch(?:ed)?|bother(?:ed)?|chance|round|turn(?:ed)? up)\b(?! not)/

/** Order matters: a longer reading stands before a shorter one that it begins with. */
export const SPOKEN_TERMS: [string, Make][] = [
  // What is no dose though it has a number or a name of a moment.
  [
    any`(?:do not|stop|no more|not|quit|cease) (?:send|text|message|contact|ring|phone|call|write|bother
    |bothering|sending|texting|messaging)(?: (?:me|us|any|more|of|these|the|texts?|messages?))*|(?:fell
    |dropped|nodded) (?:asleep|off) (?:during|while|doing)|drops or no drops|(?:buying|getting|ordering
    |fetching|need|needs) another|tea (?:towels?|cups?|bags?|pots?|trays?|cosy)|bed (?:sheets?|socks
    |clothes)|1x was (?:enough|plenty)|1x (?:you|it is|it gets|it has)(?= )|(?:till|until) (?:tomorrow
    |the morn)|(?:got|collected|bought|fetched|ordered) (?:the |my |some |more |new |me )*(?:drops|oil
    |bottle)(?: \w+)? (?:from|at|in) (?:the |a |my )?(?:chemist|shop|pharmacy|surgery|post|boots)
    |(?:none|nothing|nowt) (?:since|planned|left|spilt|of (?:it|which))|the other half
    |(?:would |do )?have to (?:ask|say|tell|confess|admit|own up)|not (?:1|a|the least|1 little) (?:bit
    |jot)(?: of it)?|not long|not (?:too |so |that |very )?(?:bad|much|easy|keen|great|nice|fun|sore)
    |so far as|not$|(?:lying|laid|lie|lay|sat|sitting|flat|led) (?:down )?(?:on|in) (?:the |my )?bed
    |(?:can|could) not (?:work (?:this|it|the)|read|hear|text|type|wait|complain|stop|find)|(?:picked
    |collected|fetched) (?:\w+ ){0,3}?up (?:at|about|around) \d{1,2}|not \d{2}(?= (?:just|but|only))
    |since (?:i|we) (?:got up|woke(?: up)?)|took to (?:my|his|her) bed|forgot to (?:say|mention|tell
    |reply|answer|text)|not (?:as|so) (?:many|often|much)(?: as \w+ \w+(?: have)?)?|1 after the other
    |(?:a |about a |about )?(?:third|quarter|half) (?:left|full|gone)(?: in)?|(?:do|does
    |did) not (?:really )?like to(?: \w+){0,3}|2x (?:(?:it is|its|the|her|his|my|a|as|normal
    |usual) )*(?:size|big|thick|large)|1x (?:told|said|had)|(?:said|told|telling|saying
    |says) (?:me |us )?(?:not|never)(?: to)?|can not (?:make|come|attend)|number \d+(?= (?:does|is|bus))
    |same as (?:yesterday|last night|before|always|usual)|(?:than|as|like|since) (?:yesterday|last night
    |i was)|from (?:yesterday|last night)|(?:all|half the|most of the) (?:day|morning|afternoon|evening
    |night)|(?:good|gud|god) (?:morning|evening|afternoon|night|day)|cups? of tea|in bed|(?:since|from
    |until|till) (?:about |around |the |this |my )*(?:\d{1,2}(?: (?:am|pm|oclock))?|${DAYTIME})
    |(?:the |our |my |a )?(?:morning|evening|night|afternoon|day|lunch|lunchtime|dinner|dinnertime|tea
    |teatime|bedtime|bed) (?:(?:girls?|carers?|nurse|lad)(?= (?:said|says|told|noticed|asked|was|is
    |came))|shift|man|lady|news|paper|person|staff|gown|sky)|without fail|all told|(?:lost
    |lose) count of|(?:having |have )none of that|5 - a - side|(?:5|6|7|11) a side
    |before (?:the |my )?(?:second|third|last|next|other)(?: 1| lot| dose| go)?|of a (?:morning|night
    |evening)|at first|first of all|at 1x|at 1 point|(?:1|2) (?:hands?|bits?|people)|(?<!\d(?: ,)? )no 1
    |any 1|some 1|every 1 else|(?:the |my )?(?:left|right|bad|good|other|deaf|blocked|sore|worse) (?:1
    |ear|side|lug)s?|1 (?:ear|side|lug|handed|bit)|1 of (?:my|her|his|the|those|them) (?:things|days
    |ears|turns|legs|eyes)|(?:on )?1 side|(?:work|working|works|on) nights|1 short|(?:a )?(?:second
    |minute|hour|day|drop|week) or 2|(?:each|every) time(?= (?:they|it|i|she|he|we|you) )|as am
    |the 1(?= (?:with|that|on|i(?! am afraid| think)|you|the|my|which|who|doctor) )|must never (?:have
    |be)|wrong ear|number 1 fan|a day at a time|(?<!\b(?:a|per|each|every|x) )day \d+(?! ?(?:x|times
    |drops)\b)|(?:week|room|bed|flat|ward|page|bus|gate) \d+(?= ?[,.]| has| is| had|$)
    |eye drops? (?:\d ?x?(?: times)?|$)|as (?:told|instructed|directed|prescribed|advised|asked|you said
    |per|normal|usual|well|soon as poss)|thank|morning (?:all|love|dear|doctor|nurse|team|sir|madam)`,
    plain('word'),
  ],
  // "Five drops the first time and six the second"
  [
    any`${NUMBER} (?:drops? )?(?:for |in |on )?the first(?: time| go| lot
    | 1)? and ${NUMBER} (?:drops? )?(?:for |in |on )?the second(?: time| go| lot| 1)?`,
    () => counted(2, 'times'),
  ],
  // Numbers that measure something else.
  [
    any`${NUMBER}(?:\.\d+)?(?: ?(?:or|to|-
    |/) ?${NUMBER})? (?:more |big |small |little |good |wee |tiny |full |extra |of the |whole )*${UNIT}(?: ago)?(?! done
    | today)`,
    (m) => (/ ago$/.test(m[0] ?? '') ? moment(m) : { is: 'amount' }),
  ],
  [
    any`${NUMBER} (?:in|on|to|for|down|per|into) (?:(?:each|both|either|the|my|her|his|every) )*(?:left
    |right|bad|good|sore|blocked|worse|each|both|either|ear)(?: (?:ears?|sides?|lugs?|1|ones?))?
    |${NUMBER} (?:each|per|either) (?:ear|side|lug)s?|each (?:ear|side|time|lug)
    |(?:in |to |for |on )?both (?:my |her |his |the )?(?:ears|sides|lugs)|in both(?! (?:times?|lots?
    |doses|goes|sessions))|both sides`,
    plain('amount'),
  ],
  [
    any`${NUMBER} (?:out of|of|/) 10|a ${NUMBER}(?! ?(?:times?|x|day|lots?|doses?|goes)\b)|(?:it is
    |its) (?:now |nearly |about |only )?\d{1,2} (?:am|pm|oclock)
    |since (?:the |my |his |her )*last (?:lot|dose|go|1|ones?)|${NUMBER} %|type ${NUMBER}`,
    plain('word'),
  ],
  // Clock times.
  [
    any`(?:at |about |around |by |from )*(?:half|0\.5|quarter|5|10|20|25)(?: past| to
    | after)? (${NUMBER})(?: (?:ish|am|pm|oclock))?(?= |$)`,
    (m) =>
      /^(?:about |around )?(?:half|0\.5|quarter|at|\d+ (?:past|to|after))/.test(m[0] ?? '') &&
      !/^\d+ \d+/.test(m[0] ?? '')
        ? moment(m)
        : { is: 'word' },
  ],
  [
    any`(?:at |about |around |by |just after |just before |gone )*(\d{1,2}(?:\.[0-5]\d| [:.;-] [0-5]\d
    |[:][0-5]\d))(?: ?(?:ish|am|pm|oclock|hrs|hours|h))*`,
    moment,
  ],
  [any`(?:at |about |around |by )*((?:[01]\d|2[0-3])[0-5]\d)(?: ?(?:hrs|hours|h))*`, moment],
  [
    any`(?:at |about |around |by |just after |just before |(?:at |the )*back of |gone |after |before |the )*(${NUMBER}(?: ?ish)? (?:am(?! afraid
    | sorry| not)|pm|oclock|a m|p m|a \. m|p \. m)(?: \.(?= [a-z]))?)(?: (?:1|ones?|lot|dose
    |drops)(?= (?:done|in|went|was|is|missed|at|still)| ?[,.]|$))?`,
    moment,
  ],
  [
    any`(?:(?:at )?(?:the )?back of|(?<=again )(?:at|about|around)|(?<=\b(?:1|lot|dose|drops|them|it|home|in
    |up) )(?:at|about|around)) (${NUMBER})(?: ?ish)?(?! (?:${TIMES}|drops?|minutes?|mins))`,
    moment,
  ],
  [any`at ${SOFT}(${NUMBER})(?: ?ish)?(?! (?:${TIMES}|drops?|minutes?|mins))`, moment],
  [
    any`(?:about |around |by |after |before |just gone |gone )(${NUMBER})(?: ?ish)?(?= (?:this|in the
    |tonight|at night|and|,|\.|then|again)|$)`,
    (m) =>
      n(m) >= 5 || /^(?:after|before|by|gone|just)/.test(m[0] ?? '') ? moment(m) : counted(n(m), 'bare'),
  ],
  [
    any`([5-9]|1[0-2])(?: ?ish)? (?:in the (?:morning|evening|afternoon)|at (?:night|teatime|bedtime
    |lunchtime|breakfast|dinnertime)|tonight|this (?:morning|evening|afternoon))(?! (?:and|,|&) (?:1|2|3
    |4) )`,
    (m) => moment(m),
  ],
  // Corrections and doubt.
  [
    any`(?<=(?:\d(?: ,)?|[.,-]) )no(?= \d(?: |$))|(?:no )?(?:so(?= make it)|my mistake|sorry|oops|whoops
    |wait|hang on|hold on|correction|scrub that|scratch that|tell a lie|i tell a lie|make that|i mean
    |i meant|(?<=sorry )meant|rather|should (?:say|read)|no actually|actually no)(?: ,)?(?: (?:no|sorry
    |i mean|i meant|make that|it was|it is|that is|actually|make it|that should be|it were
    |were))*(?= (?:,|\.|-)? ?(?:only|just|both|none
    |(?:it was |was |it were |the |no |make it )?${NUMBER}))`,
    plain('corrects'),
  ],
  [
    any`(?:am |is |are )?(?:not|never) (?:(?:too|quite|really|very|100 %|entirely|at all|certain
    |exactly) )*(?:sure|certain|positive)|(?:more|less) than (?:\dx|1)|could not swear|(?:lost|lose
    |losing) (?:count|track)|(?:can|could|do) not (?:remember|recall|mind$|say|think|tell|know)(?: (?:if
    |whether|how|exactly|for))?|(?:not|never) (?:(?:too|quite|really|very|100 %|entirely|at all|certain
    |exactly) )*(?:sure|certain|positive)|lost (?:count|track)|(?:have )?no idea|who knows|(?:can
    |could) not (?:for the life of me )?(?:tell|say)(?: you)? how (?:many|often)|hard to (?:remember|say
    |tell|know)|(?:did|do|have) not (?:keep|kept) (?:count|track|tabs)|not a clue|no clue|(?:might|may
    |could) have (?:been|done)|(?:might|may|could) be|do not rightly know|forget how many
    |forgot how many`,
    plain('unsure'),
  ],
  [any`(?:sorry )?(?:no )?that was (?:yesterday|last night)(?= ?,? today)`, plain('corrects')],
  // "Did not miss any", "never forgot".
  [
    any`(?:(?:did|do|have|has|am) )?(?:not|never|nothing|without|none) (?:have |been )?(?:yet )?(?:missed
    |missing|miss|forgot|forgotten|forget|forgetting|skipped|skip|skipping)(?: (?:any|1|a single 1|a 1
    |a dose|them|it|out))*`,
    () => counted(null, 'all'),
  ],
  [
    any`(?:no|not any|without) (?:different|problems?|bother|trouble|issues?|pain|pains|change|difference
    |worries|fuss|complaints|probs|better|softer|worse|real|idea|mess|hassle|discomfort|joy|sign)`,
    plain('word'),
  ],
  // Other days and what was meant.
  [
    any`(?:(?:forgot|missed|skipped)(?: it| them)? )?(?:on )?(?:yesterday|last (?:night|evening)|the (?:day
    |night) before(?: last)?|the other (?:day|night)|mon|monday|tues|tuesday|weds|wednesday|thurs
    |thursday|fri|friday|saturday|sunday|last week|this week|(?:most|other|some) days|previous days?
    |night before)(?: (?:morning|afternoon|evening|night|teatime))?`,
    status('other-day'),
  ],
  [
    any`not(?= (?:[2-9]x?|1)(?: times)? ?(?:,|but|only|just|like|as|$))|(?:(?:was|am|is|were
    |are) )?(?:supposed|meant|told|instructed|aiming|should have|should|ought|usually|normally|tried
    |wanted|meaning|prescribed|instead of|rather than|asked|the plan (?:was|is)|you would think|it says
    |(?:i|have|had|you|they|she|he) (?:said|told me|asked for|wrote|typed|texted)(?= \d)
    |promised (?:myself|you)|thought (?:i|it|we|he|she) (?:had|would|was)|would (?:have been|(?:normally
    |usually) be)(?= \d)|set out to do|aimed for|(?:out )?of (?:the |my )?\d(?= (?:i|we|he|she|that|you
    |planned|meant)\b)|label says|box says|packet says|leaflet says|recommended|required|target
    |normally do|bottle says)(?: (?:to|have|be|been|me|us|do))*`,
    status('meant'),
  ],
  // Still to come.
  [
    any`(?:is|are) going in(?= (?:at|before|tonight|later|after)\b)|(?:will|shall|going to) (?:be
    |follow)(?! (?:it )?\d (?:when|after|once|with|by|if|tonight|later))`,
    status('planned', true),
  ],
  [
    any`(?:(?:that |it |which )?(?:will|would) (?:be|make)(?: it)?|(?:makes
    |making) it) (${NUMBER})(?= (?:when|after|once|with|by|if|tonight|later))`,
    (m) => nth(n(m), { coming: true }),
  ],
  [
    any`(?:just )?(?:will|shall|gonna|going to|b?about to|bout to|intend|intending|planning|plan|hope|hoping
    |aim|need to|have to|must(?= (?:do|put|remember|get|try)\b)|got to(?= (?:do|put|have|go|get)\b)|next
    |planned|doing(?= (?:the |my )?(?:tonights?|later|bedtime|evening|second|third|last(?! of)|next|rest
    |others?)\b)|leaving|saving|reminded|remind|please god|god willing|all being well|hopefully|starting
    |start|begin|beginning|waiting)(?: (?:have|be|to|do|it|them|the|put|try|get|on|another|finish|use
    |then|me|us|my|about|for|of|having|doing))*`,
    status('planned'),
  ],
  [
    any`(?:still |yet |left )*(?:to go|to come|to follow|to be done|to do(?= (?:later|at|before|tonight|yet
    |still|and|(?:the |my )?(?:rest|last|others?|second|third|next))| ?[,.]|$)|still to|yet to
    |still outstanding|outstanding)(?: (?:do|come|go|yet))?|(?:for |until |till )?(?:later(?!x)|tomorrow
    |the morn)(?: (?:on|today|morning|night))?|(?:is |are |still )*due|remaining|pending|tomorrow
    |in a (?:bit|minute|min|mo|while|jiffy)|not yet|no yet|soon|shortly|awaits|in hand|emoji-later
    |coming up|yet to come|not (?:due )?(?:till|til|until)(?: \S+)?|(?<=\b(?:\d|more|last
    |other) )2 (?:do|go|come)(?= ?[,.]|$)|going (?:in )?again|(?<=\d )left(?! (?:ear|side|\d|and right
    |right|,))(?: to (?:do|go|come))?`,
    status('planned', true),
  ],
  [any`leave(?: (?:it|them|that|those))? (?:until|till|for later)`, status('planned', true)],
  // "Not once", "none of them".
  [
    any`(?:did|done|had|took|managed|put) (?:none|nowt)(?: in)?(?= |$)|too (?:ill|poorly|dizzy|sick|sore|bad
    |unwell|rough) (?:for|to do|to use|to have) (?:the |my |any )*(?:drops|them|it)`,
    plain('none'),
  ],
  [
    any`none (?:of them )?(?:have|has|had|went|got|been|given)(?: (?:gone|been|got|put|given))?(?: in)?`,
    plain('none'),
  ],
  [
    any`not so far$|(?:not|never) (?:even |a |the )*(?:1x|single 1|1 single|1|single)(?: ${TIMES}| drop)?
    |none(?: of (?:them|it|the \d))?|neither(?: of them)?|nothing(?= (?:today|yet|so|in|done|went|gone
    |got|has|have|at all|since|as|[,.])|$)|nil|nought|zero|zilch|nowt|not (?:a )?(?:at all|any|1|drop)
    |0 ?(?:x|${TIMES})?|no (?:drops|doses?|oil|times|today)|non(?= ?(?:today|yet|[,.]|$))|not (?:today
    |tonight)|no and no|not (?:had |got |have |have had )?(?:a |the |any |much )?(?:chance|time
    |opportunity) (?:to (?:do|put|have|use) (?:any|them|it|1)|yet)(?: in)?|before (?:i|we|he
    |she) (?:could|got to|managed to|was able to) (?:do|put|use|get|have)(?: in)? any|before (?:i|we|he
    |she) (?:had |would |have )?(?:used|done|put|got) (?:any|1|it|them)|zip|nada|too (?:painful|sore
    |tender|dizzy|poorly) to (?:put|do|use|get|have)(?: (?:them|it|any|in|the|drops))*|no go
    |(?:had |having |took |taken )?(?:a )?(?:day|night) off (?:from )?(?:it|them|the drops)|no go
    |(?:had |having |took |taken )?(?:a )?(?:day|night) off (?:from )?(?:it|them|the drops)
    |not since(?: (?:yesterday|last|the|this|mon\w*|tues\w*|wed\w*|thurs?\w*|fri\w*|sat\w*
    |sun\w*))*(?: \w+)?|not a sausage`,
    plain('none'),
  ],
  [
    any`(?:missed|forgot|skipped) (?:the (?:whole )?lot|every (?:1|single 1)(?: of (?:them|today|the))?
    |all (?:of )?(?:them|today)|them all|both(?: of them)?(?! ear))`,
    plain('none'),
  ],
  [any`(?:ran|run) out(?= after\b)`, plain('word')],
  [any`([ap]) \. m(?: \.)?`, moment],
  [any`(?:fell|fallen) asleep|ran out|dropped off`, status('missed')],
  // "Did not get it in till 11".
  [any`(?:did|could|have|had|was) not(?: [a-z]+){1,6}(?= (?:till|until)\b)`, status('done')],
  [
    any`(?:do|does|will|can) not(?: [a-z]+){0,2} (?=(?:the |my )?(?:${DAYTIME}|last|next|second|third
    |other)\b[^.]* (?:till|until)\b)`,
    status('planned'),
  ],
  // Missed.
  [
    any`(?:got |was |were |been |gets |had to )?(?:lost (?:the|my|her|his) (?:bottle|drops|dropper)|forgot
    |forgotten|forget|forgetting|missed|missing|miss|skipped|skip|skipping|neglected|omitted|overlooked
    |slipped (?:my|her|his|me|the|our) mind|impossible|no time|no chance|not possible|(?:none|nothing|no
    |nowt)(?= (?:(?:at|in|for|this|before|after|the|my) )*(?:${DAYTIME})\b)|stopped(?= (?:the|my|them|it
    |taking|using|doing|putting|since|on)\b)|got (?:swallowed|eaten|lost|away|forgotten)|(?:stayed|left
    |still) in the bottle|fell through|did not happen|never happened|gave up(?: on)?|went west|went by
    |escaped|went astray|not happened|(?:nobody|no 1|no one) (?:came|here|about|in|home|there|turned up
    |could come|around)(?: to (?:do|put|help)(?: (?:it|them|me))*)?|bottle (?:is|was) (?:still )?(?:at
    |in|on)|left out|failed|ran out|run out|failed to|without|refused|(?:was |were )?asleep (?:for
    |through|by|when)|slept through|(?:went|gone|go) (?:clean |right |straight |completely )?out(?= of )
    |gave it a miss|too late for|declined|flunked|ducked|dodged|bunked)(?: (?:to|all about|about|my mind
    |out|do|put|it|them|for|get))*`,
    status('missed', true),
  ],
  [
    any`(?:(?:did|do|does|have|has|had|was|were|could|can|would|am(?! not pm)|is|are) )?(?:not
    |never)(?: (?:yet|really|actually|even|been|able|managed?|get|got|done?|do|to|touch(?:ed)?|had?|have
    |put|use|used|using|bother(?:ed)?|with|it|them|any|round|started?|had|the|a chance|today|in|for|time
    |taken?|given?|give|gone|went|came|turn(?:ed)? up|happen|happened|remember(?:ed)?|fit|want|feel
    |opened|arrived?|come|collected|picked|up))*`,
    (m) => ({
      is: 'status',
      status: 'missed',
      late: NOT_DONE.test((m[0] ?? '').replace(/^\w+ (?=not|never)/, '')),
    }),
  ],
  [
    any`all (?:but|bar|except) (?:the )?(?:1|last|first|second|final|${DAYTIME})(?: ${LOT})? (?:of
    |out of) (?:the |my |them )*(${NUMBER})`,
    (m) => counted(n(m) - 1, 'part', n(m)),
  ],
  [
    any`(?:except|bar|barring|apart from|all but|minus|other than|save|but not(?! (?:today|tonight|yet))
    |just not|but(?= the (?:last|first|second|lunch|morning|midday|evening|night|tea|dinner|1)\b)
    |excluding|excepting|besides)(?: for)?`,
    plain('except'),
  ],
]
