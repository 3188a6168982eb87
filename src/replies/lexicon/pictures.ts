/**
 * Pictures that people draw of grave signs. Each row crosses what is spoken of (a part of the face, a limb, the room,
 * speech, sight, sound) with how it fails, so that a wording nobody listed is still read for what it shows.
 */
import type { Concept } from './symptoms.ts'

const c = (
  kind: Concept['kind'],
  patterns: string,
  rest: Omit<Concept, 'kind' | 'patterns'> = {},
): Concept => ({
  kind,
  patterns,
  ...rest,
})

/** Word classes of the pictures, used beside those of the symptoms. */
export const PICTURE_CLASSES: Record<string, string> = {
  fails:
    'strike refuses refuse refusing refused obey obeys obeying cooperate cooperating respond responding behave behaving lazy foreign stranger strangers lifeless unresponsive waxwork melted melting melt downwards downhill south collapsed uneven rubber rubbery plasticine putty dough clay plastic cardboard clumsy sluggish disobedient stopped quit asleep sleep absent awol missing floppy stroke',
  room: 'room bedroom lounge ceiling floor walls wall bed house kitchen world ground carpet street pavement bathroom curtains furniture everything',
  turns:
    'rotates rotating rotate rotated whirls whirl whirled whirling revolves revolve revolving spins spin spun spinning tilts tilt tilting tilted heaves heaving rocks rocking rolls rolling lurches lurching lurched swims swimming swirls swirling wheeling tips tipping sways swaying whizzes whizzing whizzed whooshes somersaults cartwheels twirls twirling upside sideways birls birling slopes sloping',
  drunk:
    'drunk drunken skinful pints plastered hammered sloshed tiddly tipsy sozzled bladdered pickled sherry legless',
  muddle:
    'porridge back backwards jumbled muddled mush mushy treacle marbles scrambled gobbledegook garbled twisted nonsense wrong mixed gibberish soup sideways wool funny thick stuck lost escape escapes',
  meal: 'breakfast lunch dinner tea supper food toast soup drink water everything stomach guts',
  sudden:
    'suddenly overnight once morning today yesterday now sudden monday tuesday wednesday thursday friday saturday sunday',
}

export const PICTURES: Concept[] = [
  c(
    'facial-weakness',
    'eye|eyelid|lid ~2 not ~2 stay|stays|keep ~1 down|shut|closed; eyelid|eye|lid ~6 tape|taping|taped; tape|taping|taped ~4 eye|eyelid|lid',
  ),
  c(
    'stroke-sign',
    'tongue|mouth|lips ~2 not ~2 form|say|make|shape|find; not ~4 form|shape ~3 words|word; not ~3 lift|hold|carry|raise|grip|squeeze|write|pick ~6 with ~3 arm|hand|left|right|fingers',
  ),
  c('vomiting', 'with ~3 bucket|basin; bucket|basin ~3 with me'),
  c(
    'dizziness',
    'dizzy|vertigo|spinning ~8 on ~1 floor|lino|carpet; so dizzy|giddy ~6 bed|floor|chair|move',
    { tags: ['cannot-stand'] },
  ),
  c(
    'bleeding',
    'can|could not ~2 get|make ~3 blood|bleeding|it ~1 to? stop; blood|bleeding ~4 not ~2 be ~1 stopped',
    { tags: ['will-not-stop'] },
  ),
  c(
    'facial-weakness',
    'not ~2 hold|keep ~4 mouth|lips; runs|run|drips|falls|comes ~2 off|down|out ~2 chin|corner|side ~4 left|right|side|one; @facepart|eyebrow|brow ~6 lower|higher|follow|level; lip|eyebrow|cheek|mouth|eyelid ~3 not ~2 follow|answer|listen|match|join; face ~4 pie|pudding|dough|putty|wax ~5 side',
  ),
  c(
    'dizziness',
    'head ~3 like ~3 washing ~1 machine|whirlpool|spin; like ~3 washing machine; on ~1 spin ~1 cycle; cartwheeling|somersaulting|pirouetting',
    {
      tags: ['spinning'],
    },
  ),
  c(
    'collapse',
    'faint|fainted ~1 dead|clean away; bring|brought|brings ~1 me|him|her round; fitted this|last|yesterday|twice|again|today|on; fitting again|now; he|she|mum|mam|dad|husband|wife is|was|started|keeps fitting; next thing ~3 was|were|am ~2 under|on|flat|lying|floor; had|having|have|has|took|taken|throwing|threw ~3 sort|kind|a|another|one|bad|little|big|small|wee|funny|his|her ~1 fit|seizure|convulsion; had|having|has|have|got|took|taking ~2 fits|seizures|convulsions|seizure; shook|shaking|shakes ~2 all over ~4 fine|ok|after|then|minutes|floor; had|got|took ~2 funny do|turn; had|having|have|has ~1 a|another|bad|funny|queer|strange|some ~2 turn',
  ),
  c('self-harm', 'wish ~3 never|not ~1 woken|wake|woke|born|been; wish ~3 not ~2 wake|woken|here'),
  c(
    'hearing-loss',
    'ear ~6 gone|went|is dead|deaf|quiet|silent; gone|went from ~2 hearing ~3 nothing|none|nowt; hearing|hear nothing|nowt; from hearing ~3 to ~2 nothing',
    { tags: ['marked'] },
  ),
  c(
    'pain',
    'driving|drives|drove|hammering|hammered|sticking|shoving|pushing|poking|rammed|ramming ~4 spike|nail|nails|screwdriver|needle|needles|knife|knives|skewer|marlinspike|poker|chisel|drill ~3 through|in|into|down; pacing|paced|paces|pace ~2 landing|floor|floors|room|house|boards|bedroom|kitchen|carpet; bad|worse as|than ~1 labour|childbirth; no|not tablet|tablets|painkiller|painkillers|pill|pills ~2 shift|shifts|touch|touches|shifting|touching; stabbed|stabbing|knifed|skewered|drilled|kicked ~3 ear|head|lug; hurting|hurts|aching|sore|throbbing like ~1 billyo|billio|mad|hell|fury|anything|stink|crazy|blazes|the|a|nobody; can|could not ~3 open|move|chew|eat|touch|bear|bite|lift ~6 pain; not ~2 chew|eat|open|bite ~5 ear|jaw|mouth',
    { severity: 8 },
  ),
  c('contraindicated-drops', 'drops|oil|them ~6 mistake|accident|wrong; you said not ~1 to', {}),
  c(
    'discharge',
    'cotton|wool|tissue|bud|pad|dressing|plug ~3 goes|went|going|turns|turned|comes|came|is ~1 mustard|yellow|green|brown|amber; it ~2 gone|turned|went|going|looks green|yellow|brown|cloudy|creamy|mustard; yellow|green|brown crusty|crusts|weeping',
    { tags: ['coloured'] },
  ),
  c('dizziness', 'keep|keeps|kept falling|toppling|collapsing', { tags: ['cannot-stand'] }),
  c(
    'facial-weakness',
    'melted|melting ~6 side|candle; candle ~4 side; one side ~4 melted|drooped|slipped|slipt|fallen|sagged|dropped; side ~3 of ~1 me ~3 smiling|smile|drooping|hanging; face|mouth|lip|smile|eyelid ~5 one|won|wan side',
  ),
  c(
    'stroke-sign',
    '@limb ~6 jelly|mush|putty; called|calling|calls ~2 me|him|her ~3 name|dog|dogs|cat; not ~2 known|recognised|recognise|know ~1 me|him|her|us ~3 since|today|now; @limb ~4 not ~3 mine|move|work',
  ),
  c(
    'dizziness',
    'not ~2 able to ~1 walk|stand; not ~2 able to ~1 get up|out; ended|landed|finished ~2 up? ~1 on ~2 tiles|floor|lino|carpet|ground|deck|bathroom; propped ~1 up',
    { tags: ['cannot-stand'] },
  ),
  c(
    'dizziness',
    '@room ~4 pitching|pitches|bucking|wallowing|wobbling|bobbing|swung|swings|swinging|heaving|rocking|tilted|tilts|tipped|rolled|rolling|lurched|lurching|lurches; @room ~3 not ~3 still; which way ~2 up; going over to one side',
    { tags: ['unsteady'] },
  ),
  c(
    'dizziness',
    'head ~1 is|feels|felt|goes|went|bit ~1 light; light ~1 in ~2 head; light headedness|heidit|heided; faint feeling; come|came|comes over ~2 faint|queer|light|swimmy|giddy',
    { tags: ['light-headed'] },
  ),
  c(
    'vomiting',
    'filled|filling|fill ~3 basin|basins|bucket|buckets|bowl|bowls; basin|bowl|bucket ~3 beside|ready|side',
  ),
  c(
    'collapse',
    'went|gone|fell|go over backwards|backward|sideways|flat ~8 out|knew|remember|greenhouse|floor; out for ~5 long|minutes|while|seconds; knew nothing ~3 till|until; woke ~4 tiles|floor|lino|carpet|ground; on ~2 floor|ground when|and|where ~2 found; not ~2 remember going|falling|hitting ~2; dropped like ~1 ~1 sack|stone|log|tree; dropped|drops|dropping|drop ~1 to|on ~2 floor|ground|deck|pavement; i|he|she|was|were|started jerking|twitching|convulsing ~4 minute|minutes|seconds|all|on|then|and',
  ),
  c(
    'bleeding',
    'losing|lost|lose ~3 blood; bleeding ~1 loads|tons|gallons ~12 not ~2 stop|stopping|slow|slowing; bleeding|blood ~10 not ~2 easing|slowing|slackening|drying|letting; hours ~2 bleeding|blood; bleeding|bled ~3 hours',
    { tags: ['heavy'] },
  ),
  c(
    'swelling',
    'bone ~5 back|behind ~3 ear|lug ~4 risen|raised|up|out|bun|swelled|swollen|big; behind|back ~3 ear|lug ~3 risen|raised|bun; ear ~6 shoved|pushed|pushing|shoving|forced ~2 forward|out|forwards',
    { tags: ['behind-ear'] },
  ),
  c('fever', 'hot as a|an|the; the shakes; like a furnace|forge|oven|radiator|kiln; burning up'),
  c(
    'sepsis-sign',
    'nothing|not ~2 passed ~2 since|all; no|not ~3 water ~2 since ~2;  muddled as ~3; spots ~8 stay|stays|still ~4 glass|tumbler|press',
  ),
  c(
    'airway',
    'face|gullet|throat|tongue|lips ~4 blowing|blown|blew|puffing|puffed ~1 up; whistling|whistle|wheeze|rattle|rattling|squeak ~4 breathe|breathing|breath; breathing like ~3; breathing ~3 fifty|nineteen|train|bellows; eyes ~2 puffed|swollen|swelled ~2 shut',
  ),
  c(
    'rash',
    'nettle|nettles lumps|lump|rash|stings; covered in ~2 lumps|bumps|spots|weals; pimples|pimply|prickly',
  ),
  c(
    'self-harm',
    'rather|sooner|best|better ~4 under|six|in ~1 ground|feet|grave|dead|ground; walk|walking|walked into ~1 sea|river|water|lake|canal|traffic|road|reservoir; thinking|thought ~2 walking|jumping|hanging|drowning ~3; not ~1 be ~1 here ~2 christmas|tomorrow|long|much|next',
  ),
  c(
    'hearing-loss',
    'cloth ears|eared; gone|went|going quiet|silent|dead ~3 right|left|side|ear|over; hearing ~5 fell|fallen|falling|drained|slipped|ebbed ~1 away|off; hearing ~6 never|not ~2 returned|back|return; sound ~3 ebbed|drained|faded',
    { tags: ['marked'] },
  ),
  c(
    'hearing-loss',
    'no|not ~4 improvement|difference|change|improved|better ~4 hearing|hear; hearing ~4 no|not ~3 improvement|difference|improved|budged|shifted',
    { tags: ['slight'] },
  ),
  c(
    'discharge',
    'comes|coming|came|come|coming ~3 like ~4 milk|custard|glue|porridge|cheese|jam|mustard|honey|soup|butter|cream; curdled; like ~2 curdled ~1',
    { tags: ['coloured'] },
  ),
  c(
    'pain',
    'bite|biting|chewing|gripping|clutching ~3 pillow|sheet|sheets|leather|towel; walk|walking|walked|pacing ~2 floor|floors|landing ~8 night|till|until|with|milk|dawn|hours|ear|earache|pain; making|makes|made|had|has|got|set ~2 me ~1 cry|crying|weep|scream|howl|yelp|wince|sob; cry|cried|crying|wept|scream|screamed|screams|screaming ~3 with|when|from|if ~3 it|touch|touched|ear|pain|lie; pacing ~1 floor|floors; kept|keeping|keeps ~6 earache|pain|ache|throbbing; climbing the wall|walls|curtains; could ~2 cry|scream|weep; would not wish ~3 enemy; hit ~1 roof|ceiling ~2 touch|touched|when; through ~1 roof',
    { severity: 8 },
  ),
  c(
    'pain',
    'ear|jaw|it|side ~4 bruised|bruise|battered|kicked|thumped|beaten; burns|burned|stings|nips|smarts ~3 after|drops|oil|when',
  ),
  c(
    'hearing-loss',
    'right|left|side nothing|silence|nowt|zilch; ear|lug nothing|silence; quit|quits|died|dead|shut|shutdown|closed ~1 down|off|on ~2 me|altogether|completely|totally; ear|lug|side|hearing ~3 has|is|have|just quit|packed|shut|died; thought ~4 wireless|radio|telly|phone|tv|sound ~4 off|broken|broke|dead|down|unplugged; check|checked|checking ~4 wireless|radio|telly|tv ~3 on|working|plugged',
    { tags: ['marked'] },
  ),
  c(
    'self-harm',
    'saved|saving|hoarded|stockpiled ~3 sleepers|tablets|pills|capsules; take|have|swallow|taking ~3 all|lot tonight|tonight; tonight ~4 take|have|swallow ~3 all|lot; not ~2 wake|waking|see ~2 morning|tomorrow|christmas; better ~2 out of ~2 way|it; want|wanted ~3 out|gone ~2 this life|all; finish|finishing it|things|myself|off',
  ),
  c(
    'sepsis-sign',
    'rambling|rambles|ramblings|raving|babbling; not|hardly|barely|hard|difficult|can ~4 roused|rouse|rousing|woken|waken; shaking|shivering|trembling ~4 bed|teeth|uncontrollably|violently|hard ~3 rattles|rattling|shakes|shaking|chattering; calling ~2 me|wife|son ~4 dogs|dog|mother|mum|wrong ~2 name; not ~2 make|making ~2 sense; does|did not ~2 know|recognise ~2 me|us|who|where',
  ),
  c(
    'airway',
    'gasping|gulping|gasped|choking|spluttering; breath|breathing|breathe ~4 short|shallow|laboured|hard|tight|noisy|rattly|whistling|struggle',
  ),
  c(
    'dizziness',
    'not ~3 find ~2 feet|balance|legs; wardrobe|dresser|furniture|pictures|lampshade ~3 @turns|sliding|slides|moving ~2 round?; bouncing|bouncing|careering|cannoning ~1 off|into|between',
    { tags: ['unsteady'] },
  ),
  c(
    'vomiting',
    'hurling|hurled|puking|retching|retch|retched|gagging; brought|bring|bringing ~2 up ~3 @meal; brought|bringing|bring ~3 @meal|it ~1 up; sick|sickness ~4 bucket|bowl|basin',
  ),
  c(
    'bleeding',
    'changed|changing|used|gone|through ~4 pad|pads|dressing|dressings|towels|tissues|flannels ~3 times|again|since|already|today; down ~2 collar|neck|chin|cheek ~4 blood|claret|chair; red ~2 running|trickling|dripping|pouring ~2 down ~2 collar|neck|chin|cheek; hold|holding ~4 tissue|tissues|towel|towels|pad|pads|cloth|flannel|hanky|gauze|cotton|it ~8 no|not|never ~2 odds|difference|stop|stopping|good|help|working; pressing|pressed|pressure ~8 no|not|never ~2 odds|difference|stop|stopping|good|help|use|working; third|fourth|fifth|sixth|ordinal towel|flannel; not ~1 drip|dribble ~2 tap|gush|river|flood',
    { tags: ['heavy'] },
  ),
  c(
    'facial-weakness',
    '@facepart|eyebrow|brow|lid|eyelid|nostril ~6 @fails; side ~2 face|mouth|lip|lips ~5 @fails; face|mouth|lip|lips|eyelid ~2 not ~5 told|obey|listen|behave|respond; half ~2 face|mouth|lip ~5 @fails|someone|somebody; corner ~3 mouth|lips ~5 points|points|down|floor|drops|droops|south|hangs|chin|sags|lower; @facepart ~4 belongs|belong ~3 else|stranger|another; face|mouth|lip|smile ~4 one|left|right side ~3 only|alone; looks|look|looking|looked ~5 melted|waxwork|lopsided|stroke|squint|wonky|palsy; food|crumbs|toast|bits|tea ~4 collects|lodges|sticks|stuck|stick|pools|gathers|trapped|catches|pouches ~3 cheek; bite|biting|bit|chewing ~3 lip|cheek ~5 side; cheek|lip|face ~4 numbed|novocaine|anaesthetic|anesthetic|jab; not ~3 rinse|gargle|pout|pucker|purse|kiss|spit|grin|smile|frown|whistle ~4 side|properly|lips|mouth|straight|corner; cheek|cheeks ~4 not ~3 puff|blow|fill|hold|work|move; not ~3 move|raise|lift|wrinkle|use|feel ~5 eyebrow|brow|forehead|face|mouth|lip|cheek|eyelid; smile|grin ~5 half|crooked|lopsided|one|only|sideways; smiles|smiling|grins|grinning ~5 one|half side|face|mouth; lost ~3 smile|expression|movement ~5 side|face; squirts|spurts|dribbles|leaks|falls|drips|spills|escapes|runs ~4 one side|corner; face ~6 lost ~2 movement|feeling|expression; no|lost|losing ~2 feeling|sensation|movement|strength ~5 face|cheek|lip|mouth|jaw',
  ),
  c(
    'facial-weakness',
    'eye|eyelid|lid ~5 stays|stay|stuck|remains|left ~2 open; eye|eyelid|lid ~4 refuses|will|would|can|does|do|could not ~3 close|shut|blink|come|go|meet|budge; push|pushing|hold|holding|tape|taping|taped|pull|pulling ~4 eye|eyelid|lid ~3 shut|down|closed; sleep|sleeping|sleeps|slept ~4 eye ~3 open',
  ),
  c(
    'stroke-sign',
    'speech|words|word|talk|talking|voice|sentences|sentence|speaking ~6 @muddle; wrong ~1 thing|word|words|name|names ~5 comes|come|came|coming|keeps|keep; sound|sounds|sounding|sounded|speak|speaking|talk|talking ~4 @drunk; know|knows|knew ~3 i|he|she want|wants|mean|means ~4 say ~6 not|but|wrong|word; mouthful|mouth full ~2 marbles|wool|cotton|pebbles; tongue ~4 not ~3 work|obey|twist|move|behave|round|wrap; tongue ~5 twisted|clumsy|sluggish|lazy|useless|strike; not ~4 string ~3 sentence|words; not ~3 get ~3 word|words|sentence ~3 out|together|straight; can|could not ~3 say|pronounce|form|read|write|spell ~4 word|words|properly|name|straight; forgotten ~2 how to talk|speak|read|write; lost ~3 words|speech|power|ability',
  ),
  c(
    'stroke-sign',
    'arm|arms|leg|legs|hand|hands|foot|fingers|grip ~5 refuses|refuse|obey|foreign|lifeless|unresponsive|floppy|lead|wood|wooden|lump; fingers|hand|hands ~1 will|would|can|could|do|did not ~3 buttons|button|laces|zip|grip|hold|work; foot|leg|toe|toes ~2 catching|catches|dragging|drags|scuffing; arm|leg|hand|foot|fingers ~4 not ~5 told|respond|work|behave|cooperate|answer|obey|follow|listen; no|lost|losing|lose ~2 grip|strength|feeling|power|use ~5 @limb|side; @limb ~4 no|lost|losing ~2 grip|strength|feeling|power|use|control; not ~3 feel|move|lift|raise|use or feel|move|lift|raise|use ~2 arm|arms|hand|hands|leg|legs|foot; not ~3 feel|move|lift|raise|control|grip ~2 arm|arms|hand|hands|leg|legs|foot|fingers|limb; dropped|dropping|drop ~2 mug|cups|cup|keys|kettle|fork|spoon|knife|plate|pen|everything|things ~6 hand|fingers|grip|arm|twice|times|keep; one side ~6 weak|weaker|numb|useless|heavy|tingling|dead|lead; @limb ~4 someone|somebody|belongs ~2 else; face|cheek|mouth|lip ~6 @limb ~5 numb|weak|heavy|tingling|dead; weakness|numbness|tingling ~3 down ~3 side',
  ),
  c(
    'stroke-sign',
    'curtain|shutter|veil|blind|shade|shadow|blank|fog ~3 came|come|coming|comes|fell|over|across|down ~5 eye|vision|sight|eyes; half ~5 page|screen|telly|face|room|world|view|picture|plate|clock|paper|sight ~4 missing|gone|blank|black|blurred|disappeared|not|vanished|away; lost|losing|loss|lose ~2 sight|vision; sight|vision|eyesight ~4 gone|went|lost|half|black|blank|blurred|double|fuzzy|vanished|missing; two of everything|you|him|her|me ~2; seeing|saw|see ~2 two of them; double of everything|them|it; eye|eyes ~3 not ~1 focus; seeing|saw ~1 two|double; see ~1 double; see two of; eye ~4 gone|went ~2 black|blind|blank|dark|blurred|fuzzy',
  ),
  c('dizziness', '@room|head|it|all ~3 @turns ~2 round?; whirling|whirls|whirled; rotating; revolving', {
    tags: ['spinning'],
  }),
  c(
    'dizziness',
    'walk|walks|walking|walked|stagger|feel|feeling|felt|am|was ~4 like|as ~3 sailor|drunk|drunkard|drunken|newborn|toddler|penguin|crab|foal|zombie; sea legs; see saw; seesaw; rollercoaster; helter skelter; tightrope; @room ~4 coming|comes|came ~2 up at|to; veering|veer|drift|drifts|lean|leans|listing ~4 one|left|right|side ~2 when|as|if|walk|side; not ~4 straight line|steady|upright; keep ~1 bumping|walking|crashing|banging|veering|drifting',
    { tags: ['unsteady'] },
  ),
  c(
    'dizziness',
    'not ~4 get|move|sit|stand|stir|lift|raise ~4 settee|sofa|chair|floor|feet|bed|head ~14 @turns|round|sick|dizzy|falls|over; lift|raise|move|turn|sit ~3 head|up ~6 @turns|round|sick|swims; dare|daren|daresnt not ~2 get|move|stand|stir|lift|turn ~6; stuck ~3 floor|bed|chair|settee ~6 @turns|dizzy|round; on all fours; bum shuffle|shuffling; legs ~3 not ~3 hold|carry|support; topple|toppled|toppling|topples',
    { tags: ['cannot-stand'] },
  ),
  c(
    'vomiting',
    '@meal ~4 come|came|coming|comes|comin ~1 back? up|again; @meal ~3 not ~2 stay|stop|keep ~1 down; not ~3 keep|kept|hold|holding ~4 down; head ~3 down|over ~2 toilet|loo|bucket|bowl; head ~1 in|down ~1 toilet|loo; hugging ~2 toilet|loo|bucket|bowl; bucket ~3 bed|side|lap|next; chundering|chundered|upchucking|upchucked',
  ),
  c(
    'bleeding',
    'tap ~6 @red; @red ~6 tap; river|torrent|fountain|waterfall ~5 @red; @red ~5 river|torrent|fountain|waterfall; towels|towel|teatowel|teatowels|tissues|hankies|flannels|dressings|pads ~8 still ~3 coming|bleeding|going|red',
    { tags: ['heavy', 'will-not-stop'] },
  ),
  c(
    'bleeding',
    '@red ~4 tissue|hanky|hankie|pillow|towel|flannel|cotton|bud|dropper|finger|fingers|sheet|sink|collar|kitchen; tissue|hanky|hankie|pillow|towel|flannel|bud|dropper|finger|wool ~4 @red|bloody|bloodstained; cherry|jam|ketchup|beetroot|raspberry|strawberry ~6 ear|pillow|tissue|out',
  ),
  c(
    'headache',
    'headache|head|migraine ~6 thunder|thunderclap|thunderbolt|lightning|hammer|axe|bat|truck|lorry|brick|explosion|exploded|explode|bomb|gunshot|struck; hit ~3 head ~3 hammer|bat|axe|brick ~2; never ~3 headache|head like; headache ~6 nowhere|sudden|instant|seconds|worst',
    { tags: ['very', 'sudden'] },
  ),
  c('stiff-neck', 'neck ~4 board|plank|poker|stiff|rigid|locked|solid|wood; not ~4 chin ~3 chest'),
  c(
    'light-hurts',
    'scream|screams|screaming|cries|cry|shouts|yells ~5 light|lights|lamp|curtains; light|lights|lamp|lamps|sun|sunlight|daylight|brightness|screen|window|bulb|telly ~3 @hurt|unbearable|killing|kills|blinding|blinds|stabs ~3 eyes|head|me?; curtains|blinds ~3 shut|drawn|closed ~8 light|lights|eyes|head|bright; lying|sitting|sat|lie|stay|staying ~4 dark ~8 head|light|eyes|sick',
  ),
  c(
    'airway',
    'hardly|barely|scarcely|struggling|struggle|fighting|trying|hard|cannot|trouble|not ~3 get|catch|draw|take|find|getting|catching ~3 breath|air|breaths; throat|gullet|windpipe ~5 closing|closed|shutting|tight|narrow|swelling|swollen|balloon|golf|lump|blocked; tongue ~5 filling|fills|big|huge|thick|swollen|balloon|room; lips|lip|tongue ~4 balloon|ballooned|ballooning|puffed|doubled|double|blown|swelled|twice|size|trout; like breathing ~3 straw; something ~2 round|around ~2 throat; not ~3 swallow ~3 spit|saliva|water|anything; chest ~3 wheezy|wheezing|rattling|whistles; puffed up ~4 face|lips|eyes|tongue|throat',
  ),
  c(
    'chest',
    'elephant|ton|weight|vice|belt|band|clamp|strap ~4 chest|ribs; chest ~4 tight|vice|crushed|squeezed|gripped|weight|ton|heavy|hurts|pain; pain|ache|tightness|heaviness ~5 arm ~4 jaw|chest; pain|ache ~4 jaw ~4 arm|chest; heart ~4 racing|nineteen|pounding|hammering|thudding|missing|skipping|flipping|jumping|galloping|fluttering|stop|stopping',
  ),
  c(
    'self-harm',
    'everyone|everybody|family|world|they|kids|you|all|people ~3 would|will|be ~3 better|happier|easier|relieved ~3 gone|without|dead|not|off; better ~3 dead; end ~2 life|myself|everything|things; ending ~2 life|myself|everything|things|it; no|not|what ~4 point ~3 living|going|life|carrying|anymore|being|here; had enough ~2 life|living|everything; want|wanted|wish|like|rather ~3 sleep ~3 not|never ~2 wake; wish ~4 not ~2 woken|wake|here|alive|born; thinking|thought|thoughts|think ~3 suicide|suicidal|killing|jumping|hanging|overdose|dying|death; goodbyes|goodbye ~3 written|said|letters|letter; written|said|saying ~2 goodbyes|goodbye; whole|all ~3 packet|packets|bottle|box|lot|stash ~3 tablets|pills|paracetamol; swallow|take|taken|took ~2 all|whole|lot ~4 tablets|pills|packet|bottle|medicines|paracetamol; took|take|taken|taking|swallowed ~4 paracetamol|tablets|pills|medicine|medicines|medication ~3 purpose|deliberately; took|taken|swallowed too many paracetamol|tablets|pills|painkillers|aspirin|ibuprofen; do ~1 myself ~1 in|harm; finish it all; end up in the river; walk ~2 front ~3 bus|train|lorry|car; jump ~3 bridge|train|window|roof|cliff; life ~4 worth living|it|anything|nothing; nothing|nowt ~2 live for; not ~3 worth living|it anymore; not ~2 want ~2 live|alive|wake|exist; cut|cutting ~2 wrists|myself',
  ),
  c(
    'hearing-loss',
    'ear|side|one|left|right ~4 switched|conked|cut|packed|clicked|died|shut|blew|blown|dropped ~1 off|out|up|in|down; good ear ~4 died|gone|dead|went|failed|quit|packed|silent|off; sound|sounds|hearing|everything|world|telly|radio ~3 went|gone|disappeared|vanished|stopped|died|cut|switched|turned ~3 off|out|mute|mid|sudden|suddenly|silent|quiet|completely|like|dead|nothing|down; sound just went; pressed|pressing|press|hit|on ~1 mute; mute button; like ~2 mute; muted|mute ~4 ear|side|world|everything|it; pulled|pull|pulling|unplugged ~2 plug ~5 ear|side|hearing|it; ear|side ~3 silent|soundless|stone|mute|lifeless|duff|broken|bust; nothing ~3 getting|coming|comes|gets ~3 through|in ~4 ear|side|left|right; not ~3 hear|hearing ~4 thing|anything|word|sound|phone|doorbell|clock|telly; like ~3 earplug|earplugs|muffs|earmuffs|bubble|tunnel|box|tin; bubble|tunnel ~5 ear|side|hearing|head',
    { tags: ['marked'] },
  ),
  c(
    'pain',
    '@ear ~2 on fire; @ear ~2 ablaze|afire; nothing|nowt|not ~1 touches|touching|touch|helps|helping|shifts|shifting|eases|easing|works|working|kills|dents|dent|cuts ~3 pain|it|this|ache; nothing ~2 helps|touches|works|shifts; pain ~4 unreal|indescribable|diabolical|evil|shocking|wicked|cruel|chronic|rotten|vicious; beside myself ~2 pain|it; writhing|doubled ~4; worse ~2 childbirth|toothache|labour; screaming|howling|yelping ~3 pain|agony|out|it|when',
    { severity: 8 },
  ),
  c(
    'swelling',
    '@ear|canal|lobe|side ~4 blown|ballooned|balloon|swole|swelled|puffed|doubled|huge|massive|enormous; @ear|canal|lobe|side ~4 double|twice ~2 size; canal ~4 shut|closed ~1 up?; swelled|swollen|puffed ~2 shut|closed',
  ),
  c(
    'injury',
    'poked|poking|stuck|shoved|pushed|jabbed|dug|digging|scraped|rammed|stabbed|prodded|went ~4 hairgrip|hairpin|bud|buds|pencil|pen|key|matchstick|match|needle|tweezers|clip|paperclip|finger|nail|screwdriver|candle|stick|tip ~8 hurt|hurts|pop|popped|sore|pain|blood|bled|ouch|bleeding|deep|far|crack|cracked|slipped|now; slap|slapped|punched|clouted|thumped|blow|bashed|banged ~5 ear|head',
  ),
  c(
    'sepsis-sign',
    'not ~2 know|knows|tell ~2 day|year; talking ~2 rubbish|nonsense|gibberish|people|dead; seeing ~2 things|people ~3 not; away with the fairies; skin ~4 mottled|blotchy|marbled|blue|grey|clammy|corpse; not ~3 weed|wee|peed|pee|urine|urinated ~5; no|not ~2 wee|urine ~3 all|since|day; no|not ~2 passed ~1 water',
  ),
]

/**
 * Two families of words that stand in one sentence in any order, at most `reach` words apart. They make a finding
 * where the ordered patterns found none of the kind, and give its tags to one that they did find.
 */
export type Constellation = {
  kind: Concept['kind']
  one: string
  other: string
  reach: number
  tags?: NonNullable<Concept['tags']>
  severity?: number
  /** Only adds its tags to a finding that is there. */
  onlyTags?: boolean
}

export const CONSTELLATIONS: Constellation[] = [
  {
    kind: 'pain',
    one: 'ear ears lug lughole eardrum earhole',
    other:
      'corkscrew skewer drill drilling dagger daggers hatpin poker pliers screwdriver needle needles knife knives glass yelped yelp howled screamed',
    reach: 9,
    severity: 9,
  },
  {
    kind: 'facial-weakness',
    one: 'face faces mouth lip lips smile grin eyelid eyelids eyebrow brow cheek jowl chops gob mush',
    other:
      'slipped slid drooping droopy droop drooped crooked squint lopsided wonky hanging hung slack sagging saggy melted numb floppy lifeless frozen skew squiffy uneven twisted sideways asymmetrical sunk sunken paralysed palsy',
    reach: 9,
  },
  {
    kind: 'stroke-sign',
    one: 'speech words sentence sentences voice talking speaking speak talk talks sounds',
    other:
      'slurred slurring slurry drunk jumbled muddled garbled gibberish nonsense mumbling mumbled incoherent thick treacle mush backwards',
    reach: 7,
  },
  {
    kind: 'stroke-sign',
    one: 'arm arms hand hands leg legs fingers foot grip',
    other: 'numb weak limp floppy lifeless paralysed useless drags dragging tingling heavy',
    reach: 6,
  },
  {
    kind: 'dizziness',
    one: 'room bedroom bathroom lounge hall wardrobe walls wall ceiling floor bed furniture kitchen house curtains telly pictures lampshade dresser sofa settee world garden carpet landing stairs',
    other:
      'spinning spins spin birling birlin whirling whirls sliding slides revolving rotating round swirling tumbling birling moving',
    reach: 5,
    tags: ['spinning'],
  },
  {
    kind: 'bleeding',
    one: 'blood bleed bleeds bleeding bled claret',
    other:
      'pad pads tap bucket bowl soaked soaking drenched sodden pumping pouring pours gushing nine dozen pressing carpet chair floor shirt litre pints cupful sheets river streaming',
    reach: 12,
    tags: ['heavy'],
  },
  {
    kind: 'bleeding',
    one: 'red scarlet crimson claret',
    other: 'pad pads towels dressing dressings through pumping soaked soaking sodden',
    reach: 8,
    tags: ['heavy'],
  },
  {
    kind: 'chest',
    one: 'chest ribs ribcage breastbone sternum',
    other:
      'tight tightness tightening belt squeeze squeezing squeezed crush crushing crushed vice weight heavy pain pains hurts hurting ache aching band pressure clamp gripping burning stabbing',
    reach: 8,
  },
  {
    kind: 'self-harm',
    one: 'tablets pills sleepers capsules paracetamol morphine insulin sedatives tablet',
    other: 'saved hoarded hoarding stockpiled stash stashed overdose goodbye goodbyes enough tonight',
    reach: 9,
  },
  {
    kind: 'sepsis-sign',
    one: 'spots rash blotches marks spotty',
    other: 'glass tumbler purple purply bruises bruising',
    reach: 9,
  },
  {
    kind: 'sepsis-sign',
    one: 'skin arms legs hands feet lips shins belly',
    other: 'mottled blotchy marbled marbling',
    reach: 5,
  },
  {
    kind: 'airway',
    one: 'throat tongue lips windpipe gullet',
    other:
      'closing closed swelling swollen swelled swells tight tightening tightened sausages ballooned balloon doubled fat huge thick narrowing shutting choking itching itchy tingling tingly',
    reach: 7,
  },
  {
    kind: 'swelling',
    one: 'behind bone back',
    other: 'swollen swelling swelled lump puffy boggy egg',
    reach: 5,
    tags: ['behind-ear'],
    onlyTags: true,
  },
]
