/**
 * Everyday sayings for a symptom that does not name it: what gives out, what it is compared with, what it keeps one
 * from doing. Patterns as in symptoms.ts, with its word classes and those of the pictures.
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

/** Word classes of the sayings. */
export const SAYING_CLASSES: Record<string, string> = {
  cloth:
    'flannel flannels towel towels tissue tissues pad pads hanky hankies dressing dressings cloth cloths pillowcase sheet sheets tea-towel kitchen-roll wad wads',
  hueful:
    'yellow yellowy yellowish green greeny greenish brown brownish grey greyish creamy cloudy mustard milky rusty',
  ailing:
    'pain pains ache aching earache soreness sore hurting throbbing throb stinging hurt hurts painful tender tenderness',
  mounting:
    'creeping climbing rising building mounting stepping going getting cranking ramping ratcheting inching shooting edging moving',
  bairn: 'babies baby bairns bairn kids children labour childbirth contractions birth',
  ordeal:
    'stone stones hip gallstones shingles toothache abscess gout sciatica root-canal knee appendix dentist',
}

export const SAYINGS: Concept[] = [
  // face
  c(
    'facial-weakness',
    'side of my|his|her|the ~1 mouth|face|lip ~2 down; lip|lips|mouth|cheek|eyelid ~2 down ~2 corner|side; @face ~2 drops|drop|dropping ~2 on|to|down|one|left|right; face|mouth|lip ~1 dropping; lip|lips|mouth ~3 not ~2 grip|hold|close|seal|meet|pull; eye ~6 stays ~1 open; face|mouth|cheek|lip|lips|jaw|gob ~4 like ~5 dentist|dentists|jab|injection; run|runs|ran|running|comes|came|falls|fell|leaks|leaked|trickles|dribbles|spills|escapes|escaping ~2 out ~2 corner|side; can|could not ~3 keep ~3 soup|tea|drink|food|water|coffee ~2 in; side ~3 mouth ~3 no|lost|without grip|strength|feeling|movement; eye|eyelid ~5 just|only stares|gapes|staring; muscle|muscles ~6 face ~4 not ~3 respond|work|move|working|moving|responding; eyebrow|brow ~2 not ~2 lift|move|raise|budge|rise',
  ),
  // stroke
  c(
    'stroke-sign',
    'came|come|comes|coming out ~3 nonsense|gibberish|rubbish|wrong|jumbled|garbled|backwards; @limb ~3 gone|went ~3 from under; @limb ~6 can not ~1 move ~1 it|them; saying|say|says|said|using|get|getting ~2 wrong word|words|names; words ~3 not ~3 come|coming|came ~2 out ~2 right|properly|straight|way|proper; wanted|want|meant|trying ~3 say ~6 came|comes|said|out ~3 different|wrong|rubbish|nonsense|gibberish; words ~4 wrong way|order ~2 round?; can|could not ~2 get ~2 words ~2 out|right; lost ~2 ability ~2 speak|talk',
  ),
  // collapse
  c(
    'collapse',
    'fell|fall|down|floor ~5 out for; was|were|went out for ~2 minute|minutes|seconds|second|while; swooned|swoon|swooning; eyes rolled|rolling|went ~2 back|up; went ~1 over like; slid|slumped|crumpled ~3 to|on|down ~2 floor|ground|chair; legs gave|went ~3 from under|out|way',
  ),
  // violent spinning
  c(
    'dizziness',
    'carousel|waltzer|roundabout ~3 head; carousel|waltzer|merry|roundabout|washing|tumble ~4 not ~1 stop; can|could not ~3 sit|get ~2 up|upright|off ~3 never|let|mind|without; can|could not ~2 get ~1 upright; can|could not ~2 sit ~1 up; lets|let ~2 go ~3 drop|fall|topple; carpet|floor ~4 where ~2 ceiling; inside ~3 tumble|washing|spin; head ~5 ceiling ~3 round|spins|spinning|moving',
    { tags: ['spinning', 'cannot-stand'] },
  ),
  c(
    'dizziness',
    'try|tries|tried|trying ~3 stand|up ~3 go|goes|went|fall|fell over|down; tip|tips|tipping|keel|keeling|veer|veering|lurch|lurching|listing ~2 over ~3 left|right|side|get|stand; can|could not ~4 walk|walking ~3 straight|properly|steady|line|far; walls|floor|room|lanes|aisles|shelves|pictures|door|doors|everything ~3 slide|slides|sliding|swaying|swimming; walk|walking|walked|bumping|bump|knocking ~2 into ~3 frame|frames|door|doors|wall|walls|things|furniture; giddy yesterday giddy; giddy|dizzy ~2 today|again|still|constantly|all',
    { tags: ['unsteady'] },
  ),
  // bleeding
  c(
    'bleeding',
    'blood|bleeding|bled ~12 not ~2 stop; @cloth after @cloth; like ~2 tap ~2 red; will|would|does not ~2 quit|stop|cease ~2 bleeding|bleed; bleeding|blood ~12 not ~1 quit; running|pouring|trickling|streaming ~2 down ~2 neck|collar|face|cheek ~10 not ~2 stop|stopping|quit|let; @cloth ~2 jammed|pressed|pushed|held|holding|wedged ~8 soaked|sodden|saturated|through; @cloth ~4 soaked|sodden|saturated ~6 again|through|off; can|could not ~3 get ~2 clot; no|not ~2 clotting|clot ~2; mins|minutes|hours ~5 pressing|press|pressure ~5 still|not',
    { tags: ['heavy', 'will-not-stop'] },
  ),
  c(
    'bleeding',
    'spotted|spotting ~1 again|today|yesterday|blood; drop|drops|spot|spots|bit|speck|splash|smear of ~1 claret|red|scarlet; pinky|pinkish red; reddish ~2 soup|fluid|water|stuff',
  ),
  // discharge
  c(
    'discharge',
    'it is ~1 yellow|yellowy|yellowish|green|greeny|greenish; some|bit|lot|something|stuff|patches ~2 @hueful ~5 pillow|cushion|sheet|bedding|coming|running|out|ear; @hueful ~3 coming|running|leaking|oozing|seeping|dripping ~3 ear|out|on; thick|gone|turned ~2 creamy|yellow|green|cloudy|brown; patches ~2 dark? @hueful; greeny ~3 reeks|smells|stinks; reeks|stinks; mustard ~2 mould|aid|pillow|coloured',
    { tags: ['coloured'] },
  ),
  // hearing
  c(
    'hearing-loss',
    'gone|went|going ~1 completely|totally|all ~1 quiet|silent|dead ~4 right|left|side|ear; not heard ~3 word|thing|anything|sound ~6 ear|side|left|right; still nothing ~3 side|ear|left|right; can|could not ~1 use ~2 phone ~4 right|left|side|ear; phone ~5 ear ~4 nothing; can|could not ~2 follow ~4 telly|tv|conversation|conversations|radio|anyone; can|could not make out ~3 wireless|telly|radio|tv|people|anyone|anything; telly|tv|radio|wireless ~5 full|max|maximum|top ~1 blast|volume|whack?; not ~1 dicky|dickie bird; swap|swapped|swapping|change|changed ~2 phone ~4 other|good ear|side|hand; swap|swapped ears; phone ~3 other ear; lost ~1 it ~2 sudden|suddenly|overnight; it ~2 switched|turned|packed|cut off|down|out|up; someone|somebody|like ~3 turned ~4 volume|sound ~2 down|off; just|only lips moving; upped and left|gone|went; ear|side ~2 upped; took ~2 days ~2 to go; it|hearing|ear ~3 went|gone ~3 flash|instant|blink; it|hearing ~2 all went; hearing ~2 used to be ~1 @fine ~1 but|and|now|it ~5 gone|went|nothing|dead|rubbish|not; used to ~1 ~1 able ~1 hear ~9 can not; used to hear ~9 can not; ask|asks|asked|asking|have|has|had|get|getting ~5 repeat themselves|themself|himself|herself|everything|it|things; sound|sounds ~4 vanished|disappeared; hardly|barely owt|anything|much ~1 left ~2 on|in; at ~5 nothing ~3 side|ear; under ~3 quilt|duvet|blanket|pillow; broken again ~3 overnight|totally|completely',
    { tags: ['marked'] },
  ),
  c(
    'hearing-loss',
    'from hearing ~3 to ~2 struggling|struggle|poor|bad|rubbish; went ~1 from ~2 hearing ~4 to ~2 struggling|nothing; lost most|lot|half of ~1 it; hearing|hearin ~3 sliding|slidin|slipping|drifting|dwindling|ebbing|fading; sliding|going ~2 downhill ~4 hearing|month|months|weeks; worse week by week; it ~1 went|go|gone ~6 days ~4 good ~2 poor',
    { tags: ['slight'] },
  ),
  // pain
  c(
    'pain',
    'getting|got|become|becoming|gets ~2 more painful|sore|tender; more @ailing ~2 not less; @ailing ~4 @mounting ~1 up ~3 day|hour|every; @mounting ~1 up ~3 day|hour ~3 @ailing; @ailing ~3 stepping|creeping|cranking|ratcheting|inching|edging ~1 up; past|beyond|above ~2 tonight|today|now ~3 @ailing; well past that|it; worse ~3 than ~2 yesterday|before|monday|tuesday|wednesday|thursday|friday|saturday|sunday ~3 @ailing',
    { tags: ['worse'] },
  ),
  c(
    'pain',
    'had|have ~3 @bairn ~8 worse|sooner|rather|nothing|compared|easier; worse|harder ~2 than ~5 @bairn|@ordeal; @bairn ~6 again ~2 than|before this; rather|sooner ~5 @bairn ~3 again; hammering|hammer|banging|driving ~3 nails|nail; sobbing|weeping|crying|bawling|howling|yelling|yelled|screaming ~3 with ~2 it|ear|pain|this; no|not ~1 tablet|tablets|painkiller|painkillers|pill|paracetamol|codeine ~3 shift|touch|touches|help|helps|work|cut; painkillers|tablets|paracetamol|codeine ~2 no|little use|good|help; up all night ~1 with ~1 it|ear|this|pain; top marks ~3 pain; pain|hurts|hurting ~3 really|so|too|very|that bad|badly|much; hurting|hurts ~2 too much; hurt|hurts|hurting ~3 all night|day; not able ~3 put ~3 head ~3 pillow; being drilled; woke|woken|waking ~3 street|house|wife|husband|everyone ~4 yelling|screaming|yell|scream|howling; evil|vicious|savage|wicked ~1 pain|today|tonight|now|ear|ache; would not ~2 stop hurting|throbbing|aching; ear is ~1 9|10|8',
    { severity: 8 },
  ),
  c(
    'pain',
    'nag|nagging in|at ~2 it|ear; got|have|has a nag|twinge; bit|little|touch|somewhat raw|nippy|achy|stingy',
  ),
  // light-headed
  c(
    'dizziness',
    'touch|bit|little|spell|feel|feeling|felt ~2 wooziness|floaty|swimmy|muzzy|wobbly|light; wooziness; swimmy when; light ~1 headed ~2 when|after|for',
    { tags: ['light-headed'] },
  ),
  // throat
  c(
    'airway',
    'throat ~6 squeezed|squeezing|strangled|closing|tight|gripped|choking; like ~3 squeezing|squeezed|strangling ~3 throat',
  ),
  // despair
  c(
    'self-harm',
    'look|looking|looked|staring|stare ~4 rope|bridge|railway|tracks|knife|knives|pills; no reason ~2 live|living|get|carry|go ~1 up|on?; counted|counting|count|saved|lined|laid|emptied|stockpiled ~3 pills|tablets|tabs|capsules; world|everyone|family|they|kids ~3 do|manage|be|better ~2 without me; better off ~4 bus|train|dead|gone|without ~2 me?; never ~2 wake|waking up; happily|happy|gladly ~2 never|not ~2 wake|waking; point ~1 in|of ~1 going|carrying on; point ~1 in|of living|life|anything; rather|sooner|prefer ~2 not ~2 wake|be ~2 up|here|around; not be here ~2; under ~2 bus|train ~4 than; end|finish|want ~2 it all|over',
  ),
  // behind the ear
  c(
    'swelling',
    'lump|swelling|bulge|bump ~3 behind ~3 ear ~6 tilting|pushing|poking|sticking ~2 out|forward; ear ~5 blown|puffed|swelled ~1 up ~5; back ~2 ear ~4 blown|puffed|swelled ~1 up; tilting|pushing ~1 it ~1 out',
    { tags: ['behind-ear'] },
  ),
  c('fever', 'he|she|i|mum|dad ~1 is|am burning; burning ~2 jabbering|rambling|shivering|up'),
  c('sepsis-sign', 'jabbering|blethering; rash ~8 stays|stay|remains ~3 press|pressed|glass|push'),
  c(
    'contraindicated-drops',
    'put|did|done|had|gave ~6 ear ~4 not ~1 allowed|supposed|meant; drops|oil ~4 gone|went|been in ~8 not ~1 allowed|supposed|meant',
  ),
  // reaction
  c(
    'rash',
    'blotches ~6 all over; gave|given|gives|brought ~2 me|him|her ~2 spots|lumps|blisters|rash; took ~2 skin off; spots ~3 round|around|on|in ~3 ear|neck|face',
  ),
  c(
    'collapse',
    'went|gone|go out like ~1 light; went stiff ~4 shook|shaking|jerked; shook|shaking ~1 all over ~5 not ~1 know; stiff ~2 shook all over',
  ),
  c(
    'hearing-loss',
    'woke|wake|woken|waking ~1 to nothing|nowt|silence; hearing ~1 was|is|went|has|gone away ~1 in|from|on; hearing away',
    { tags: ['marked', 'new'] },
  ),
  c(
    'hearing-loss',
    'hearing ~2 pin|pins drop|dropping; fridge|clock|tap|kettle|ticking drives|driving|drive ~1 me mad|potty|bonkers; heard ~2 cuckoo|cuckoos|skylark|owl|owls|swifts|birds|rain|crickets',
    { denies: true },
  ),
  c('discharge', 'clear wet; clear wetness', { tags: ['clear'] }),
  c(
    'ringing',
    'kettle ~1 whistling|singing|boiling; hums|humming like ~4 fridge|motor|wire|wires|pylon|freezer|hive',
  ),
  c('blocked', 'cork|bung|plug|stopper ~1 back in'),
  c('airway', 'puffing|puffed|panting like ~3 engine|train|grampus|dog; can not get ~1 breath'),
  c('pain', 'like toothache but ~3 @ear|lug', {}),
  c('rash', '@red bumps|spots|lumps|blotches|patches ~4 drops|oil|spreading'),
  c(
    'self-harm',
    'tablets|pills|sleepers|medication ~6 taking|take|swallow|swallowing ~2 lot|all|whole; thinking ~2 taking|swallowing ~2 lot|all; ',
  ),
  c(
    'bleeding',
    'pressing|pressed|pressure|squeezing|holding ~6 minutes|mins|hour|hours ~4 still|coming|running|going|pouring|dripping',
    { tags: ['will-not-stop', 'heavy'] },
  ),
  c(
    'contraindicated-drops',
    'in|into the ear|one|side|left|right ~1 you told|said ~1 not|never ~4 put|use; told|said ~1 never|not ~2 put|use ~3 in ~1 left|right|that|it|there',
  ),
  c(
    'hearing-loss',
    'hear no|nae|nowt ~2 speech|sound|sounds|voice|voices|word|words|noise|music|birds|birdsong|telly|clock',
    { tags: ['marked'] },
  ),
  c('hearing-loss', 'hear ~2 bells; heard ~2 call|prayer|sermon|bells', { denies: true }),
  c('airway', 'breath ~2 not ~1 come; fight|fighting ~1 for ~1 air|breath'),
  c('pain', 'never ~2 @hurt ~1 like ~1 this|it; a kill me', { severity: 8 }),
  c('bleeding', '@blood ~12 no stop|stopping', { tags: ['will-not-stop', 'heavy'] }),
  c('discharge', 'come|comes|coming out water', { tags: ['clear'] }),
  c(
    'contraindicated-drops',
    'put|went|gone|going|done|put ~12 must|should ~1 not|never ~2 have|get; mistake ~12 must|never|not ~3 have',
  ),
  c('dizziness', 'try|tried|tries to stand|walk|rise ~4 go|fall|fell|went|goes ~1 over|down|back', {
    tags: ['cannot-stand'],
  }),
  c('bleeding', 'stuck pig; @blood ~10 will|does|would|did not stop', { tags: ['heavy', 'will-not-stop'] }),
  c('light-hurts', 'light|lights ~1 is|are ~1 much|bright|strong ~3 eyes|eye'),
  c('stroke-sign', 'arm|leg ~3 hangs|hanging|dangles|dangling|drags'),
  c(
    'dizziness',
    'bump|bumping|bumped|walk|walking|walked into ~2 door|doors|wall|walls|furniture|frames|doorframe',
    {
      tags: ['unsteady'],
    },
  ),
  c(
    'self-harm',
    'not ~2 see ~3 reason|point|sense ~4 living|live|carry|carrying|going|being; reason|point to|in ~1 carry|carrying|go|going ~2 living; no|not ~2 reason|point ~2 living; reason|point to ~1 live',
  ),
  c(
    'bleeding',
    'red patch|patches|mark|stain|smear|splodge ~3 pillow|bolster|sheet|sheets|pillowcase|collar|towel',
  ),
  c('dizziness', '@room ~2 not ~1 stop ~1 turning|moving|spinning|going|tilting|rocking', {
    tags: ['spinning'],
  }),
  c(
    'hearing-loss',
    'good|fine|great|brilliant|lovely|clear|perfect|grand ~5 then it ~1 went|gone|vanished|faded',
    {
      tags: ['marked', 'new'],
    },
  ),
  c('hearing-loss', 'zilch from|in|out ~2 ear|side|left|right|it', { tags: ['marked'] }),
  c('collapse', 'came|come round|to with|and ~4 standing|leaning|bending|over ~1 me'),
  c('self-harm', 'might|may as well be dead; wish i was|were dead'),
  c(
    'facial-weakness',
    'lips|lip|mouth|cheek will|would|can|could|did|does not ~1 do|move|work|obey|pucker|purse',
  ),
  c('hearing-loss', 'heard|hear ~2 my|the watch|clock ~1 tick|ticking; how loud everything|the|things', {
    denies: true,
  }),
  c('stroke-sign', 'slurring|slurred|slurs'),
  c('hearing-loss', 'hearing ~6 began|started to ~1 go; hearing ~10 went right? down', { tags: ['marked'] }),
  c('bleeding', 'pressed|pressing|pressure ~10 keeps|keep coming|going|pouring|running', {
    tags: ['heavy', 'will-not-stop'],
  }),
  c(
    'stroke-sign',
    'leg|legs|arm|hand ~5 will|would not ~1 hold|lift|grip|carry; leg|arm|hand ~12 gone ~1 weak|dead|numb|floppy',
  ),
  c('collapse', 'everything|all went black|dark'),
]
