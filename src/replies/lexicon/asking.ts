/** Cue words of supposing and asking, as data. */
import { AUX } from './scope.ts'
import { setOf } from './set-of.ts'

/** "worried that it might": fear, then of what, then that it has not come. */
export const AFRAID = setOf('worried scared afraid frightened nervous anxious')
export const AFRAID_OF = setOf('it they that of about i')
export const MIGHT = setOf('might will would may could getting')

export const HOPES = setOf('hope hoping')
export const HOPED_AGAINST = setOf('not no')

/** "The leaflet said it might": what somebody foretold. */
export const FORETELLS = setOf('said told warned leaflet advised expect expecting')
export const FORETOLD = setOf('might may could would expect normal if look watch')

export const CONDITIONS = setOf('if unless')
/** "if it moves" supposes, "if I move" triggers. */
export const IMPERSONAL = setOf('it there')
/** "if anything it's worse", "if you ask me", "if not" tell of the present. */
export const IF_TELLS = setOf('anything you not')

/** After these words a supposition is over: at once, or where one of their words comes next. */
export const SUPPOSITION_ENDS = new Map<string, ReadonlySet<string> | null>([
  ['but', null],
  ['because', null],
  // "The leaflet says a little blood is normal, well this is not a little"
  ['well', setOf('this mine it i my its')],
  [',', setOf('i my it the im there')],
])

/** A question may begin after these, as after a mark. */
export const LEADS = setOf('and so but hi hello please just also or sorry morning well thanks')

/** "did it twice" tells; "did it twice?" asks. */
export const DOES = setOf('did do was')
export const DONE_TO = setOf('it this that these')

/** Question words that need no mark, with what must come next. */
const ANY_QUESTION = [...AUX, ...setOf('long happens about if many much')]
export const ASKS_BEFORE = new Map<string, ReadonlySet<string>>([
  ...[...setOf('should shall when why where')].map((w) => [w, new Set(ANY_QUESTION)] as const),
  ['how', new Set([...ANY_QUESTION, 'soon'])],
  ['what', new Set([...ANY_QUESTION, 'time'])],
  ['which', new Set([...ANY_QUESTION, ...setOf('ear side one door')])],
])

export const WONDERS = setOf('wondering wonder asking ask')
export const WONDERED = setOf('if whether about how what when is')
export const POINTED_AT = setOf('that this')

/** "Can microsuction make you deaf", "is ringing a side effect", without the mark. */
export const SUPPOSE = setOf('supposing suppose')
export const CAN = setOf('can could does do will would should')
export const CAN_THINGS = setOf(
  'drops oil microsuction suction the this wax water deafness ringing pain blood bleeding people anyone swimming flying',
)
/** After "get" these name a movement. */
export const UPWARDS = setOf('up out off down in into to on it hold my a the near')
export const IS = setOf('is are')
/** "That" before these is "so". */
export const SO_MUCH = setOf(
  'stiff sore bad painful swollen dizzy hot numb weak tired ill poorly heavy loud itchy tight',
)
export const AFTERWARDS = setOf('after afterwards then')
export const USUAL_END = setOf('normal usual common dangerous serious effect effects expected sign ok')

/** A wish for the desk, which what is the matter may follow. */
export const DESK = setOf('seen sooner move appointment visit rearrange reschedule swap earlier later')
export const DESK_DAYS = new Set([
  ...DESK,
  ...setOf('monday tuesday wednesday thursday friday saturday sunday tomorrow'),
])
export const WISH_GOES_ON = setOf('or and if please that when is will can do thanks')
export const AILS = setOf('it its my there theres ear')

/** A question may end at these, before a new subject that is not itself asked about. */
export const CONNECTIVES = setOf(', because as but')
export const NEW_SUBJECT = setOf('it its i my there the theres he she her his')
export const MODALS = setOf('should could can will would')

/** What a question takes for granted. */
export const THIS = setOf('this these')
export const OPEN_VERBS = setOf('is are does do will can could')
export const OWNED = setOf('this the my these')
export const NO_SYMPTOM = setOf('drops oil procedure appointment')
export const PASSES = setOf('stop go ease settle clear away better')
export const REMEDY = setOf('take use do help helps')
export const REMEDY_FOR = setOf('for about')
export const EARS = setOf('ear ears')
export const BEING = setOf('be is')
export const MY = setOf('my')
export const USUAL = setOf('normal ok usual right common alright fine')
export const THAT = setOf('that')
export const MINE = setOf('i my mine there')
