/** Words that chat is made of and that dictionaries of plain English may lack, or that must never look like a slip. */

export const PLAIN = new Set(
  `obviously wfh lino doorpost doorposts bairn bairns grandbairn grandbairns agm billyo childproof queueing queuing invigilating fajr zuhr asr maghrib isha tara meself hoover bus coach van 
a about above after again ago all almost alone along already also always am an and another any anyone anything around as ask at away awake
back be because bed been before behind below best better between big both but by call came can car care carry change check child clean clear
close come could day days did different do does done door down drop drops during each ear early ears easy eat else end enough even evening ever
every everyone everything far few find fine first for found four friday from front full gave get girl give glad go goes going good got great had half
hand happy hard has have having he head hear heard hello help her here hers hi high him himself his home hope hot hour hours house how however
i if in inside into is it its just keep kept know last late later least leave left less let letter like little live long look lot love low
made make man many may maybe me mean might mind mine minute miss monday month more morning most mother much must my name near need never new next nice night
nine no none nor not nothing now number of off often oh old on once one only open or other our out over own part past people perhaps phone place please
put quite ran rather read ready really remember rest right ring round run said same saturday saw say second see seem seen send sent set seven several shall
she should show side since sir sit six sleep small so some someone something soon sorry sort start still stop such sunday sure take taken talk tea tell ten text
than that the their them then there these they thing things think this those though thought three through thursday time times to today together told tomorrow
tonight too took top tried true try tuesday turn tv two under until up upon us use used very visit wait walk want warm was water way we wednesday week weeks well went
were what when where which while who whole why wife will wish with without woke woman won wonderful word work would write year years yes yesterday yet you young your
thole tholed tholing
cariad hen queen duckie bostin bosting brava bravo madonna mamma grazie alhamdulillah inshallah mashallah sah lawd fitba ewes cows tups lambing innit fam bruv babyyy babe babes wagons vet mandy brenda debbie tracy sandra julie karen linda lynn lynne carol carole christine janet jackie maggie betty rita mavis gladys phyllis norma marjorie muriel hazel gwen glenys myfanwy dilys megan sian rhys dai ioan hamish angus morag ailsa fiona shona siobhan niamh aoife seamus padraig declan conor fatima aisha yusuf ahmed priya anil sanjay gurpreet winston delroy leroy beverley marlon earl kath cath sue sal pam bev trish trudy ron ray reg stan sid fred bert alf albert arthur cyril percy len les ken keith trevor nigel graham geoff gary barry terry
mon tue tues wed weds thu thur thurs fri sat sun jan feb mar apr jun jul aug sept oct nov dec january february march april june july august september october november december
am pm oclock o'clock ordinal x th nhs gp ent tv telly dvd wifi app email fb whatsapp sms pin ok okay hiya hey hullo ey up alright morning afternoon evening night nighty
dear love luv duck ducks ducky mun butt beta tidy pet hen hinny hun hunny darling darlin dearie sweetheart flower petal chuck cocker mate pal folks folk team everybody all sirmadam madam
mr mrs ms miss dr doc nurse sister receptionist reception clinic surgery practice audiologist audiology pharmacy pharmacist chemist
cuppa brew tea coffee biscuit biscuits toast porridge breakfast brekkie lunch dinner supper telly radio corrie archers emmerdale crossword sudoku bingo knitting crochet allotment garden greenhouse
bus tram train taxi parking car bike scooter walker zimmer frame stick glasses specs slippers dressing gown hanky hankie hankies tissue tissues pillow pillows towel flannel bathroom kitchen lounge settee sofa armchair fridge microwave kettle
grandkids grandchildren grandaughter granddaughter grandson grandsons granddaughters hubby bingo church chapel mosque temple choir wi u3a
olive almond bicarb bicarbonate sodium saline dropper pipette bottle oil spray olivoil sweet
bless god lord amen cheers ta tara toodle cheerio bye byebye ciao ttfn regards sincerely faithfully yours kind best wishes xmas christmas easter birthday
yup yeah aye nope ooh aah aw awe oops whoops ha haha hee blimey crikey gosh goodness gracious cor heck flip flippin flipping flaming blooming bloomin blinking blinkin bloody sodding ruddy damn darn drat bother buggers bugger
lovely grand champion smashing super fab brill magic ace wicked cushty tickety boo tip hunky dory proper reet canny bonny braw
eh mmm hmm um er erm err uh huh aal reet mind thanx bp amlodipine statin statins ramipril appendix op gud deffo disabled cataracts carer carers medal ops mither mithering mithered yonks tot grandbairns hoovered hoover muchly gradely fettle noddle lav swop tots whippet yon nowt owt summat lughole tha thee thou wi fret fretting larry blackpool dinnertime shaky anyroad nobbut codamol paracetamol co-codamol ibuprofen aspirin afore guv jibber sieve well like anyway anyways anyhow basically actually obviously hopefully fortunately luckily touchwood touch wood fingers crossed
whatsit thingy thingummy whatnot doobry gubbins odds sods etc eg ie
loo loos mot hayfever ml mg mcg pints pint hols nav fifteen turning turned turns calling called making taking giving getting coming waiting watching reading writing cooking baking gardening walking looking working playing talking sitting helping feeding chatting driving cleaning washing ironing mowing shopping travelling visiting minding catching reaching mins min secs sec hrs hr wk wks
eleanor alfie tracey sharon beryl winifred tenerife benidorm whitby rotherham scarborough skegness bridlington morecambe llandudno bournemouth blackpool spain tenerife majorca manchester leeds london liverpool glasgow edinburgh cardiff newcastle hull york bradford sheffield birmingham bristol norwich brighton blackpool bolton wigan burnley preston lancaster carlisle durham
margaret jean john david mary joan dorothy doris edna elsie ethel ivy vera hilda irene joyce sheila maureen patricia pat pauline barbara brenda brian derek ernest fred frank george harold harry jack jim joe ken kenneth len leonard norman peter ray reg ron ronald roy sid stan stanley ted terry tom tommy tony trevor vic walter wilf bill bob alan albert alf arthur bert betty beryl bev carol christine sue susan linda janet jane julie karen lynn lynne anne ann annie alice kath kathleen kathy kate helen gwen gladys eileen elaine elizabeth liz lizzie eric emma ellie ed eddie don donald doug duncan dave dai rhys gareth megan sian owen evan ali mohammed ahmed fatima singh kaur patel khan begum mike michael mark matt sam sarah sally steve steven stuart scott simon rita rose ruby ruth robert rob richard rich rachel phil philip paul nora nancy moira mavis maud mabel lucy lily lilian lena kev keith josie judith judy jill jenny jeff ian iris ida hugh hazel heather gordon glenys gill gerry geoff freda flo florence fiona enid doreen diane diana denise cyril connie colin clive claire charlie cath bernard audrey
`
    .trim()
    .split(/\s+/),
)
