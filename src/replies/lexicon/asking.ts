/** Cue words of supposing and asking, as data. */
import { AUX } from './scope.ts'

const set = (words: string) => new Set(words.split(' '))

/** "worried that it might": fear, then of what, then that it has not come. */
export const AFRAID = set('worried scared afraid frightened nervous anxious')
export const AFRAID_OF = set('it they that of about')
export const MIGHT = set('might will would may could getting')

export const HOPES = set('hope hoping')
export const HOPED_AGAINST = set('not no')

/** "The leaflet said it might": what somebody foretold. */
export const FORETELLS = set('said told warned leaflet advised expect expecting')
export const FORETOLD = set('might may could would expect normal if look watch')

export const CONDITIONS = set('if unless')
/** "if it moves" supposes, "if I move" triggers. */
export const IMPERSONAL = set('it there')
/** "if anything it's worse", "if you ask me", "if not" tell of the present. */
export const IF_TELLS = set('anything you not')

/** After these words a supposition is over: at once, or where one of their words comes next. */
export const SUPPOSITION_ENDS = new Map<string, ReadonlySet<string> | null>([
  ['but', null],
  ['because', null],
  // "The leaflet says a little blood is normal, well this is not a little"
  ['well', set('this mine it i my its')],
  [',', set('i my it the im there')],
])

/** A question may begin after these, as after a mark. */
export const LEADS = set('and so but hi hello please just also or sorry morning well thanks')

/** "did it twice" tells; "did it twice?" asks. */
export const DOES = set('did do was')
export const DONE_TO = set('it this that these')

/** Question words that need no mark, with what must come next. */
const ANY_QUESTION = [...AUX, ...set('long happens about if many much')]
export const ASKS_BEFORE = new Map<string, ReadonlySet<string>>([
  ...[...set('should shall when why where')].map((w) => [w, new Set(ANY_QUESTION)] as const),
  ['how', new Set([...ANY_QUESTION, 'soon'])],
  ['what', new Set([...ANY_QUESTION, 'time'])],
  ['which', new Set([...ANY_QUESTION, ...set('ear side one door')])],
])

export const WONDERS = set('wondering wonder asking ask')
export const WONDERED = set('if whether about how what when is')
export const POINTED_AT = set('that this')

/** "Can microsuction make you deaf", "is ringing a side effect", without the mark. */
export const SUPPOSE = set('supposing suppose')
export const CAN = set('can could does do will would should')
export const CAN_THINGS = set(
  'drops oil microsuction suction the this wax water deafness ringing pain blood bleeding people anyone swimming flying',
)
/** After "get" these name a movement. */
export const UPWARDS = set('up out off down in into to on it hold my a the near')
export const IS = set('is are')
/** "That" before these is "so". */
export const SO_MUCH = set(
  'stiff sore bad painful swollen dizzy hot numb weak tired ill poorly heavy loud itchy tight',
)
export const AFTERWARDS = set('after afterwards then')
export const USUAL_END = set('normal usual common dangerous serious effect effects expected sign ok')

/** A wish for the desk, which what is the matter may follow. */
export const DESK = set('seen sooner move appointment visit rearrange reschedule swap earlier later')
export const DESK_DAYS = new Set([
  ...DESK,
  ...set('monday tuesday wednesday thursday friday saturday sunday tomorrow'),
])
export const WISH_GOES_ON = set('or and if please that when is will can do thanks')
export const AILS = set('it its my there theres ear')

/** A question may end at these, before a new subject that is not itself asked about. */
export const CONNECTIVES = set(', because as but')
export const NEW_SUBJECT = set('it its i my there the theres he she her his')
export const MODALS = set('should could can will would')

/** What a question takes for granted. */
export const THIS = set('this these')
export const OPEN_VERBS = set('is does will can could')
export const OWNED = set('this the my these')
export const NO_SYMPTOM = set('drops oil procedure appointment')
export const PASSES = set('stop go ease settle clear away better')
export const REMEDY = set('take use do help helps')
export const REMEDY_FOR = set('for about')
export const EARS = set('ear ears')
export const BEING = set('be is')
export const MY = set('my')
export const USUAL = set('normal ok usual right common alright fine')
export const THAT = set('that')
export const MINE = set('i my mine there')
