/** Families of words for the third reader: what unseen words of the same kind are taken for. One word may be in several. */
export const FAMILIES: Record<string, string> = {
  body: 'ear ears lug lugs lughole earhole earole lobe eardrum drum canal head skull temple forehead face cheek cheeks jaw mouth lip lips tongue gum gums teeth throat gullet neck chin nose eye eyes eyelid eyelids lid eyebrow brow chest heart lungs ribs belly stomach guts mastoid bone smile grin skin',
  limb: 'arm arms leg legs hand hands foot feet fingers finger thumb knee knees shoulder toes wrist elbow side',
  sense:
    'hear hearing heard see seeing sight vision taste smell feel feels feeling felt speak speaking speech talk talking talks word words say balance swallow breathe breathing breath walk walking stand standing think',
  fluid:
    'blood claret pus gunk goo muck matter slime liquid fluid water gravy custard soup jam juice sauce ooze snot yuck gloop stuff crust scab clot clots',
  colour: 'red green yellow brown black blue grey white purple pink scarlet crimson mustard cloudy rusty',
  flows:
    'running runs ran run dripping drip drips dripped pouring pour pours leaking leak leaks leaked oozing seeping weeping trickling gushing soaked soaking soaks wet stained stain stains draining coming comes spurting bubbling',
  place:
    'pillow pillowcase sheet sheets hanky hankie tissue tissues towel towels flannel collar cushion shirt bed floor carpet sofa bowl bucket sink bathroom toilet chair',
  cannot: 'cant cannot cannae wont unable couldnt struggle struggling hardly barely couldna cudnt cant',
  gone: 'gone went going goes dropped drooping droops drooped hung hangs hanging sagging sagged slipped slid melted collapsed folded folding stopped died vanished disappeared lost shut twisted crooked lopsided wonky squint dead numb asleep heavy floppy',
  fall: 'fell fall falling fallen faint fainted blackout blacked keeled slumped toppled tumbled collapse woke unconscious fit fits turn turns wobble wobbly stagger staggering swaying reeling tipping lurching',
  spin: 'spinning spins spin spun whirling waltzer waltzers roundabout merry carousel boat ship sea tilting swimming birling giddy dizzy woozy drunk ceiling room walls',
  hurt: 'hurt hurts hurting pain pains painful sore ache aches aching throbbing throbs throb stabbing burning burns agony killing screaming crying cried tender pounding knife knives needle needles skewer poker nail splitting raw unbearable excruciating paracetamol ibuprofen painkillers codeine tablets',
  hot: 'fever feverish temperature temp hot burning sweat sweating sweats shiver shivery shivering shivers chills boiling clammy goosebumps thermometer',
  puff: 'swollen swelling swelled puffy puffed lump bump lumpy bulge balloon ballooned fat thick tight stretched shiny hard sticking size',
  sick: 'sick vomit vomiting vomited throwing threw puke puking spew spewing retching heaving boak boaking queasy ill poorly unwell rough awful dreadful terrible worse worst',
  sudden:
    'suddenly sudden pop popped bang instant overnight moment flash click woke morning yesterday tonight today since hour hours minutes midnight',
  worse:
    'worse worsening rising building growing spreading increasing more worst unbearable stronger climbing',
  despair:
    'burden end ended ending die dying kill goodbye letters bridge pills overdose point living alive live life anymore hopeless wish cope',
  help: 'help doctor ambulance hospital urgent emergency casualty nurse please someone look frightened scared worried panic',
  person:
    'mum mam mother dad father nan nana gran granny grandad grandma husband wife hubby him her she he his uncle aunt auntie carer daughter son mr mrs',
  well: 'fine good great grand lovely brilliant marvellous wonderful perfect champion smashing super ace ok okay okey alright well better happy chuffed pleased delighted fantastic excellent tip top spot sound tickety hunky dory braw cushty gradely comfortable magic easy normal clear right',
  thanks:
    'thanks thank ta cheers bless grateful appreciate appreciated kind ty thx thankyou lovely much obliged',
  dose: 'drops drop dose doses done did both twice once morning night evening breakfast bedtime oil olive bicarb spray forgot missed skipped tonight three two one times lots am pm',
  move: 'appointment appt move rearrange change cancel reschedule swap earlier later week monday tuesday wednesday thursday friday saturday sunday booked book slot another day time clash make postpone',
  stop: 'stop unsubscribe messages message text texts texting texted phone number remove delete list contact off send sending enough',
  logistics:
    'bus car park parking train taxi lift entrance address open opening holiday wedding funeral shops bingo bowls choir dog cat cake tea weather rain garden telly tv football',
  soft: 'soft softer softened wax waxy hard solid loose moving mush porridge butter rock concrete brick',
  hear: 'deaf muffled blocked bunged cotton wool underwater silent silence quiet mute hear hearing noise sound sounds ringing buzzing whistling humming roaring tinnitus echo',
}
