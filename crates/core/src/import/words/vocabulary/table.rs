//! The phrases for playing techniques, players, growth and expression.
//!
//! Wording of mutes, stopping and string terms: the comparative tables of orchestration handbooks
//! (Adler; Kennan & Grantham) from memory, Koch's *Musikalisches Lexikon* for the older string
//! terms, the MusicXML 4.0 documentation of the corresponding elements; otherwise common practice.

use super::{Meaning, Scope};
use crate::event::{Device, Level, PlayersMark};

const MUTE_ON: &str = "con sordino|con sordini|con sordina|con sordine|con sord|con le sordine|\
    con i sordini|c sord|col sordino|coi sordini|sordino|sordini|sordina|sord|mit daempfer|\
    mit daempfern|m daempfer|mit dpf|mit dpfr|m dpf|mit daempf|daempfer|daempfer auf|\
    daempfer aufsetzen|dpf auf|dpf|gedaempft|gedpft|avec sourdine|avec sourdines|avec sourd|\
    avec la sourdine|avec les sourdines|sourdine|sourdines|sourd|mettez la sourdine|\
    mettez les sourdines|mettez sourdine|mettez sourdines|mettez les sourd|mettez sourd|\
    mettre la sourdine|mettre les sourdines|mettre sourdine|muted|mute|mutes|with mute|with mutes|\
    mute on|mutes on|put on mute|put on mutes|put mute on|put mutes on|insert mute|in mute|\
    straight mute|st mute|cup mute|harmon mute|bucket mute|plunger mute|whisper mute|\
    con sordino sempre|sempre con sordino|sempre con sordini|sempre con sord|mit dampfer|mit dampfern|\
    m dampfer|dampfer|dampfer auf|gedampft|mit sordine|mit sordinen|mit sordino|mit sord|sordinen|\
    mettete i sordini|metti i sordini|mettere i sordini|mettere la sordina|mettere sord|\
    alle mit daempfer|alle mit daempfern|tutti con sord|tutti con sordino|tutti con sordini";

const MUTE_OFF: &str = "senza sordino|senza sordini|senza sordina|senza sordine|senza sord|\
    senza le sordine|senza i sordini|s sord|via sordino|via sordini|via sord|via le sordine|\
    via i sordini|sordino via|sordini via|sord via|alzare i sordini|alzare sordini|alzar sordini|\
    levare i sordini|levare le sordine|levare il sordino|levate i sordini|leva sordini|\
    leva sordino|leva sord|si levano i sordini|si leva il sordino|togliere i sordini|\
    togliere la sordina|togliere il sordino|ohne daempfer|o daempfer|ohne dpf|o dpf|ohne dpfr|\
    ohne daempf|daempfer ab|daempfer weg|daempfer fort|daempfer absetzen|daempfer abnehmen|\
    daempfer allmaehlich ab|dpf ab|dpf weg|nicht gedaempft|ungedaempft|sans sourdine|\
    sans sourdines|sans sourd|sans les sourdines|otez la sourdine|otez les sourdines|otez sourdine|\
    otez sourdines|otez les sourd|otez la sourd|otez sourd|oter la sourdine|oter les sourdines|\
    enlevez la sourdine|enlevez les sourdines|enlevez sourdine|enlevez sourdines|\
    enlever la sourdine|enlever les sourdines|enlevez les sourd|unmute|unmuted|mute off|mutes off|\
    without mute|without mutes|no mute|no mutes|remove mute|remove mutes|take off mute|\
    take off mutes|mute out|mutes out|mute removed|ohne dampfer|o dampfer|dampfer ab|dampfer weg|\
    dampfer fort|ohne sordine|ohne sordinen|ohne sordino|ohne sord|levar i sordini|\
    levar la sordina|leva la sordina|levare sord|levare la sord|levare la sordina|levare sordini|\
    togliere sordini|togliere sord|togli sordini|togli sord|togliete i sordini|si levano le sordine|\
    alzate i sordini|alzate le sordine|alza sordini|daempfer herunter|daempfer nach und nach ab|\
    nach und nach ohne daempfer|enlever sourdine|oter sourdine|quittez la sourdine|\
    quittez les sourdines|tutti senza sord";

use Device as D;
use Meaning as M;
use Scope as S;

/// Every meaning with the phrases that have it, parted by strokes. Of equally long phrases that hold
/// for a family the row that stands first counts.
pub(super) const TABLE: &[(Meaning, Scope, &str)] = &[
    (M::Device(D::Mute, true), S::Mutable, MUTE_ON),
    (M::Device(D::Mute, false), S::Mutable, MUTE_OFF),
    (M::Device(D::Muffled, true), S::Percussion, MUTE_ON),
    (M::Device(D::Muffled, false), S::Percussion, MUTE_OFF),
    // On a piano these ask for the pedal.
    (M::Expression, S::Any, MUTE_ON),
    (M::Expression, S::Any, MUTE_OFF),
    (
        M::Device(D::Muffled, true),
        S::Percussion,
        "coperto|coperti|coperta|coperte|muffled|voile|voiles|couvert|couverts|bedeckt|\
         mit tuch|mit daempfung",
    ),
    (
        M::Device(D::Muffled, false),
        S::Percussion,
        "scoperto|scoperti|scoperta|decouvert|decouverts|offen|open|unmuffled|aperto",
    ),
    (
        M::Open,
        S::Brass,
        "offen|aperto|aperti|aperta|ouvert|ouverts|open|nicht gestopft|naturale|nat",
    ),
    (
        M::Device(D::Stopped, true),
        S::Brass,
        "chiuso|chiusi|chiusa|chius|gestopft|gest|gestpft|bouche|bouches|sons bouches|son bouche|\
         cor bouche|stopped|hand stopped|+|halb gestopft|half stopped|echoton|sons d echo|\
         son d echo|stopft",
    ),
    (
        M::Device(D::Brassy, true),
        S::Brass,
        "schmetternd|schmett|cuivre|cuivrez|cuivres|cuivree|brassy|squillante",
    ),
    (
        M::Device(D::BellsUp, true),
        S::Any,
        "campana in aria|campane in aria|campane in alto|campana in alto|padiglioni in aria|\
         padiglione in aria|schalltrichter auf|schalltrichter hoch|schalltr auf|\
         schalltrichter in die hoehe|schalltr in die hoehe|schallstuecke in die hoehe|\
         pavillon en l air|pavillons en l air|bells up|bell up|bells in the air|bells raised",
    ),
    (
        M::Device(D::BellsUp, false),
        S::Any,
        "bells down|schalltrichter normal|schalltrichter ab|pavillon normal|pavillons normaux|bells normal",
    ),
    (
        M::Device(D::Plucked, true),
        S::Any,
        "pizz|pizzicato|pizzicati|pizzic|pizzicando|gezupft|pince|pincee|pinces|plucked|pz|sempre pizz",
    ),
    (
        M::Device(D::Plucked, false),
        S::Any,
        "arco|archi|coll arco|col arco|coll archi|mit dem bogen|mit bogen|m bogen|bogen|gestrichen|gestr|\
         avec l archet|avec archet|archet|bowed|with the bow|with bow|colarco",
    ),
    (
        M::Device(D::Wood, true),
        S::Any,
        "col legno|col legno battuto|col legno tratto|c legno|c l|col l|col leg|coll legno|legno|\
         mit dem holz|mit holz|mit dem holz geschlagen|mit dem holz gestrichen|\
         mit dem holz des bogens|mit der bogenstange|avec le bois|avec le bois de l archet|du bois|\
         with the wood|with wood|with the wood of the bow",
    ),
    (
        M::Device(D::Bridge, true),
        S::Any,
        "sul ponticello|sul pont|sul pontic|s pont|sul p|ponticello|pontic|pont|am steg|\
         nahe am steg|dicht am steg|auf dem steg|sur le chevalet|au chevalet|pres du chevalet|\
         at the bridge|near the bridge|near bridge|on the bridge|close to the bridge|al ponticello",
    ),
    (
        M::Device(D::Fingerboard, true),
        S::Any,
        "sul tasto|sulla tastiera|sulla tast|sul tast|s tasto|flautando|flaut|flautato|\
         am griffbrett|auf dem griffbrett|ueber dem griffbrett|griffbrett|griffbr|sur la touche|\
         sur touche|over the fingerboard|on the fingerboard|on fingerboard|alla tastiera",
    ),
    (
        M::Ordinary,
        S::Any,
        "naturale|nat|ordinario|ord|modo ordinario|modo ord|mod ord|modo naturale|posizione normale|\
         pos normale|gewoehnlich|gew|wie gewoehnlich|normal|normale|norm|jeu ordinaire|jeu ord|\
         jeu normal|ordinaire|position naturelle|position nat|position ordinaire|position ord|\
         position normale|pos nat|pos ord|naturel|naturelle|ordinary|as usual",
    ),
    (
        M::Device(D::Harmonics, true),
        S::Any,
        "armonici|armonico|suoni armonici|flag|flageolett|flageolet|flageolets|flageoletts|\
         flageolettoene|harmoniques|harmonique|sons harm|sons harmoniques|harm|harmonics",
    ),
    (M::Device(D::Tremolo, true), S::Any, "tremolo|trem|tremolando|tremolato|tremoli|tremol"),
    (
        M::Device(D::Tremolo, false),
        S::Any,
        "non tremolo|non trem|senza tremolo|senza trem|ohne tremolo|nicht tremolo|no tremolo|no trem",
    ),
    (
        M::Device(D::Flutter, true),
        S::Any,
        "frullato|frull|frulato|flatterzunge|flatterz|flzg|flz|fltzg|flutter|flutter tongue|fluttertongue|\
         flutter tonguing|flutter tongued|flt|flatt|en roulant la langue|tremolo dental|frullante",
    ),
    (
        M::Device(D::LetRing, true),
        S::Struck,
        "l v|lv|l vibr|lasciar vibrare|lasciare vibrare|lasc vibr|lasciate vibrare|laissez vibrer|\
         laisser vibrer|laissez vibr|let ring|let vibrate|klingen lassen|ausklingen lassen|\
         nicht daempfen|nachklingen",
    ),
    (
        M::Device(D::LetRing, false),
        S::Struck,
        "secco|sec|seche|etouffe|etouffez|etouffer|etouffes|damp|damped|dampen|abdaempfen|\
         daempfen|choke|choked|dry|trocken|smorzare",
    ),
    (
        M::Players(PlayersMark::Solo),
        S::Any,
        "solo|soli|sola|sole|seul|seule|seuls|allein|1 solo|uno solo|ein einzelner|einzeln|one player|one only",
    ),
    (M::Players(PlayersMark::All), S::Any, "tutti|tutte|alle|tous|toutes|all|everyone|a tutti"),
    (
        M::Players(PlayersMark::All),
        S::Any,
        "unis|unisono|unisoni|unison|all unisono|zusammen|zus|ensemble|non div|non divisi|\
         non divisa|non divises|nicht geteilt|nicht get|unis non div|insieme|uniti|unite|not divided|undivided",
    ),
    (
        M::Players(PlayersMark::All),
        S::Winds,
        "a 2|a due|zu 2|zu zweien|zu zwei|a deux|a 3|zu 3|a tre|zu dreien|a trois|a 4|zu 4|a quattro|\
         zu vieren|a quatre|a 6|zu 6|a 8|zu 8|both|beide|i e ii|1 und 2",
    ),
    (M::Players(PlayersMark::Divided(2)), S::Strings, "a 2|a due|a deux|zu 2"),
    (M::Players(PlayersMark::Divided(3)), S::Strings, "a 3|a tre|a trois|zu 3"),
    (M::Players(PlayersMark::Divided(4)), S::Strings, "a 4|a quattro|a quatre|zu 4"),
    (
        M::Players(PlayersMark::Divided(0)),
        S::Any,
        "div|divisi|divise|divisa|geteilt|get|geth|getheilt|divises|divisees|divided",
    ),
    (
        M::Players(PlayersMark::Divided(2)),
        S::Any,
        "div a 2|divisi a 2|div in 2|div a due|divisi a due|divisi in 2|zweifach geteilt|zweifach|\
         2 fach geteilt|2 fach|in 2|div a deux|divisi in due|div by 2",
    ),
    (
        M::Players(PlayersMark::Divided(3)),
        S::Any,
        "div a 3|divisi a 3|div in 3|div a tre|divisi a tre|divisi in 3|dreifach geteilt|dreifach|\
         3 fach geteilt|3 fach|div a trois|divisi in tre|div by 3",
    ),
    (
        M::Players(PlayersMark::Divided(4)),
        S::Any,
        "div a 4|divisi a 4|div in 4|div a quattro|divisi a quattro|divisi in 4|vierfach geteilt|\
         vierfach|4 fach geteilt|4 fach|div a quatre|divisi in quattro|div by 4",
    ),
    (
        M::Players(PlayersMark::Divided(5)),
        S::Any,
        "div a 5|divisi a 5|div in 5|fuenffach geteilt|fuenffach",
    ),
    (
        M::Players(PlayersMark::Divided(6)),
        S::Any,
        "div a 6|divisi a 6|div in 6|sechsfach geteilt|sechsfach",
    ),
    (
        M::Players(PlayersMark::Half),
        S::Any,
        "la meta|meta|mezza sezione|die haelfte|haelfte|nur die haelfte|die halben|halbe|halbe besetzung|\
         la moitie|moitie|half|half the section|half section|half only|la meta sola",
    ),
    (
        M::Players(PlayersMark::Desks(1)),
        S::Any,
        "1 pult|erstes pult|1o leggio|1 leggio|primo leggio|un leggio|leggio|1er pupitre|1 pupitre|\
         premier pupitre|un pupitre|first desk|1st desk|1 desk|one desk|1st stand|first stand|\
         one stand|1 stand|nur 1 pult|ein pult|nur ein pult|i pult|i leggio|first desk only",
    ),
    (
        M::Players(PlayersMark::Desks(2)),
        S::Any,
        "2 pulte|2 leggii|2 leggi|2 pupitres|2 desks|two desks|2 stands|zwei pulte|due leggii|2 pult|1 und 2 pult|1 2 pult|first two desks|deux pupitres",
    ),
    (
        M::Players(PlayersMark::Desks(3)),
        S::Any,
        "3 pulte|3 leggii|3 pupitres|3 desks|three desks|3 stands|drei pulte|tre leggii|3 pult",
    ),
    (
        M::Players(PlayersMark::Desks(4)),
        S::Any,
        "4 pulte|4 leggii|4 pupitres|4 desks|four desks|4 stands|vier pulte|4 pult",
    ),
    (
        M::Change,
        S::Any,
        "muta in|mutano in|muta|mutano|muti in|prende|prendi|prendono|prende il|prende l|cambia in|\
         cambiano in|nimmt|nehmen|nimmt die|nimmt das|wechselt nach|wechselt zu|wechselt zur|\
         wechselt zum|wechselt in|wechseln|wechselt|prend|prend la|prend le|prend l|prennent|\
         prennent les|change en|changez en|changent en|changer en|changez pour|take|takes|take up|\
         to|change to|changes to|switch to|changing to|change in|changes in",
    ),
    (
        M::Growing(true),
        S::Any,
        "cresc|crescendo|cres|cre|crescen|cre scen do|cres cen do|crescen do|cre scendo|crescendo molto|crescente|accresc|augmentez|en augmentant|augmentant|\
         augm|zunehmend|anschwellend|wachsend|anwachsend|steigernd|immer staerker|staerker werdend|\
         growing louder|getting louder|increase|rinforzando poco a poco",
    ),
    (
        M::Growing(false),
        S::Any,
        "dim|dimin|diminuendo|dimi|diminu|diminuen|di mi nu en do|dimi nuen do|diminuen do|di min|\
         decre|decrescen|de cre scen do|decre scen do|decrescen do|smorzan|smor zan do|smorzan do|\
         mo ren do|ca lan do|man can do|per den do si|perden do si|diminuend|diminuez|en diminuant|diminuant|decresc|decrescendo|decr|\
         decres|descresc|abnehmend|verklingend|verhallend|ersterbend|immer leiser|leiser werdend|\
         perdendosi|perdendo|perdend|perendosi|morendo|smor|smorz|smorzando|mancando|manc|scemando|calando|cal|dying away|\
         fade|fading|getting softer|growing softer|en s eteignant|en mourant|estinguendo|deficiendo",
    ),
    (
        M::ToNothing,
        S::Any,
        "al niente|a niente|al nulla|a nulla|dim al niente|to nothing|fade to nothing|\
         fading to nothing|fade to niente|to niente|ins nichts|bis ins nichts|bis zum verschwinden|\
         jusqu a rien|au neant|fade away|fading away|fade out|fading out",
    ),
    (
        M::Level(Level::N),
        S::Any,
        "niente|dal niente|dal nulla|from nothing|from niente|aus dem nichts|du neant|de rien",
    ),
    (M::Level(Level::Mp), S::Any, "mezzo piano|mezzo p"),
    // Somewhat loud: less than forte, more than half.
    (
        M::Level(Level::Mf),
        S::Any,
        "mezzo forte|mezza forte|mezzo f|poco f|poco forte|un poco forte",
    ),
    (
        M::Relative(true),
        S::Any,
        "louder|a little louder|lauter|etwas lauter|staerker|etwas staerker|piu forte|plus fort|\
         un peu plus fort|un poco piu forte|poco piu forte|meno piano|moins doux",
    ),
    (
        M::Relative(false),
        S::Any,
        "softer|a little softer|leiser|etwas leiser|schwaecher|etwas schwaecher|piu piano|\
         un poco piu piano|poco piu piano|meno forte|moins fort|plus doux|un peu moins fort|quieter",
    ),
    (
        M::ToEnd,
        S::Any,
        "al fine|sino al fine|fino al fine|sin al fine|insino al fine|al fin|alla fine|\
         fino alla fine|sino alla fine|bis zum schluss|bis zum ende|bis zum schluss des stueckes|\
         jusqu a la fin|to the end|until the end|till the end",
    ),
    (M::Expression, S::Any, super::super::vocabulary_expression::EXPRESSION),
    (M::Filler, S::Any, super::super::vocabulary_expression::FILLERS),
];
