/** Closed word lists by language, chosen so that they are not English words; scripts by Unicode range. */

const list = (words: string) =>
  new Set(
    words
      .trim()
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .replaceAll('ł', 'l')
      .split(/\s+/),
  )

export const LANGUAGE_WORDS: [string, Set<string>][] = [
  [
    'cy',
    list(
      'diolch bore prynhawn nos da dw dwi rwyf rydw ydw ydy mae yn clust clustiau fy nghlust gwaed gwaedu poen dim problem iawn heddiw ddoe neithiwr yfory wedi ddim rhoi diferion brifo clywed ddwywaith unwaith dal gofyn helo shwmae sut mor chi eto meddyg stopiwch cymraeg llawn gallu clywed wnes wneud hoffwn penysgafn pendro newid apwyntiad nac oes ond',
    ),
  ],
  [
    'pl',
    list(
      'tak nie jest bardzo ucho ucha uchu uszy boli bol bolu krew krwi krwawi dziekuje dziękuję dzien dobry proszę prosze mam mnie moje moja jestem dzisiaj dzis wczoraj krople kropli kropelki rano wieczorem lekarz pomoc slysze słyszę glowa głowy zawroty goraczka gorączka wizyta termin przełożyć przelozyc wszystko dobrze razy dwa raz oczywiscie nic od wczoraj lewe prawe lewym prawym',
    ),
  ],
  [
    'ur',
    list(
      'mera meri mere mujhe kaan kan dard hai hain nahi nahin haan ji shukriya bahut bohot aaj kal dawai dawa qatre khoon bukhar chakkar theek thik kya kyun aap mein se raha rahi rahe ho gaya gayi hoon hun sunai abhi bilkul subah shaam raat dafa baar acha accha mehrbani salaam salam assalam alaikum walaikum bhi aur lekin doctor-sahib band khatam tabiyat bimar ulti sar',
    ),
  ],
  [
    'pa',
    list(
      'mera meri kann vich dukh peerh pirh sat sri akal tuhada tusi main mainu hega haiga nahi changa theek bahut aj kal lahu khoon dawai paayi payi bukhar chakkar ho riha rahi rahe ch ton hun hor',
    ),
  ],
  [
    'fr',
    list(
      'bonjour merci oui non je jai suis mon oreille oreilles mal tres gouttes matin soir hier demain rendez vous saigne sang ma mes avec pas et le la les dans depuis fievre vertige vertiges entends bien tout va sil plait douleur',
    ),
  ],
  [
    'es',
    list(
      'hola gracias si mi oido oreja oidos duele dolor sangre sangra mucho muy tengo hoy ayer gotas manana noche el la los las esta bien no puedo oir mareo mareado fiebre cita por favor todo estoy con desde y pero me',
    ),
  ],
  [
    'it',
    list(
      'ciao grazie si mio orecchio orecchie male dolore sangue molto oggi ieri gocce mattina sera ho non sono bene il la febbre gira testa appuntamento tutto con dal mi fa',
    ),
  ],
  [
    'pt',
    list(
      'ingles falo ola obrigado obrigada sim nao meu ouvido ouvidos dor doi sangue muito hoje ontem gotas manha noite estou bem tenho febre tonturas consulta com desde',
    ),
  ],
  [
    'de',
    list(
      'spreche nur wenig englisch deutsch verstehe bitte hallo danke ja nein mein ohr ohren schmerz schmerzen blut blutet sehr heute gestern tropfen morgen abend ich habe bin nicht gut mit seit und der die das fieber schwindel termin alles ist',
    ),
  ],
  [
    'ro',
    list(
      'buna multumesc da nu mea urechea urechi doare durere sange foarte azi ieri picaturi dimineata seara sunt bine am febra ameteala ameteli programare',
    ),
  ],
  ['lt', list('ačiū aciu taip ne ausis ausi skauda kraujas labai lašai lasai rytas vakar siandien gerai')],
  [
    'tr',
    list(
      'merhaba tesekkur tesekkurler evet hayir kulagim kulak agri agriyor kan cok bugun dun damla sabah aksam iyiyim iyi var yok',
    ),
  ],
  ['so', list('haa maya dhegta dhegaha xanuun dhiig mahadsanid maanta shalay fiican aniga waan')],
  ['gu', list('mane kaan ma dukhe che nathi saru aaje kale tipa lohi taav majama kem cho')],
  [
    'hr',
    list(
      'boli uho uha usi krv krvi krvari jutro danas jucer juce sutra hvala dobro vise malo cudno cujem nema imam kapi kapljice glava vrtoglavica temperatura sluh ali ne je sam mi me sta sto nisam jos lijevo desno lijeva desna uvo dobar dan molim puta dvaput jednom nista sve u redu',
    ),
  ],
  [
    'cs',
    list(
      'boli ucho ucha usi krev krvaci dnes vcera rano vecer dekuji dakujem prosim dobre dobry den nic mam jsem som nie neboli kapky kvapky hlava teplota slysim pocujem trochu vice uz stale moc velmi',
    ),
  ],
  [
    'hu',
    list(
      'faj fulem ful ver verzik koszonom jo jol nem igen ma tegnap reggel este csepp cseppek kicsit szedulok laz hallok vagyok minden rendben ketszer',
    ),
  ],
  [
    'nl',
    list(
      'oor oren pijn bloed bloedt dank bedankt geen niet goed vandaag gisteren druppels ochtend avond duizelig koorts ik heb mijn het een en maar nog wel alles prima twee keer',
    ),
  ],
  [
    'tl',
    list(
      'tenga masakit dugo salamat opo hindi po ang ko ngayon kahapon patak umaga gabi nahihilo lagnat wala mabuti dalawang beses',
    ),
  ],
  [
    'sw',
    list('sikio maumivu damu asante ndiyo hapana leo jana matone asubuhi usiku sana nzuri kizunguzungu'),
  ],
  [
    'sq',
    list(
      'veshi dhemb gjak faleminderit po jo sot dje pika mengjes mbremje mire shume temperature marramendje',
    ),
  ],
  ['gd', list('tapadh leibh leat tha mo chluas goirt fuil madainn mhath chan eil an-diugh')],
]

export const SCRIPTS: [string, RegExp][] = [
  ['pa', /\p{Script=Gurmukhi}/u],
  ['ur', /\p{Script=Arabic}/u],
  ['hi', /\p{Script=Devanagari}/u],
  ['gu', /\p{Script=Gujarati}/u],
  ['bn', /\p{Script=Bengali}/u],
  ['ta', /\p{Script=Tamil}/u],
  ['zh', /\p{Script=Han}/u],
  ['uk', /\p{Script=Cyrillic}/u],
  ['el', /\p{Script=Greek}/u],
  ['he', /\p{Script=Hebrew}/u],
  ['ja', /[\p{Script=Hiragana}\p{Script=Katakana}]/u],
  ['ko', /\p{Script=Hangul}/u],
  ['th', /\p{Script=Thai}/u],
]
