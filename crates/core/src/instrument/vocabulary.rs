//! Names of instruments in English, Italian, German and French, with the usual abbreviations, as
//! [`super::recognize::words`] leaves them.
//!
//! Names and abbreviations: the comparison of instrument names in four languages that music theory
//! handbooks print, and common practice.

use std::collections::HashMap;
use std::sync::LazyLock;

/// Rows of the catalog and what they are called; names apart by `|`.
const NAMES: &[(&str, &str)] = &[
    (
        "piccolo",
        "piccolo|piccolos|piccoli|piccolo flute|flauto piccolo|flauti piccoli|ottavino|ottavini|\
         kleine floete|kleine floeten|kl floete|piccolofloete|piccolofloeten|pikkolo|pikkolofloete|\
         pickelfloete|petite flute|petites flutes|pte flute|p flute|flute piccolo|picc|pic|\
         fl picc|fl pic|kl fl|pt fl|pte fl|ott",
    ),
    (
        "flute",
        "flute|flutes|flauto|flauti|floete|floeten|grosse floete|grosse floeten|gr floete|\
         grande flute|grandes flutes|flauto grande|flauti grandi|traverso|flauto traverso|\
         querfloete|concert flute|fl|flt|gr fl|gde fl",
    ),
    (
        "alto flute",
        "alto flute|alto flutes|flauto contralto|flauto alto|altfloete|flute alto|flute en sol|\
         alto fl|alt fl|altfl|fl alto|fl contr|a fl",
    ),
    ("bass flute", "bass flute|flauto basso|bassfloete|flute basse|bass fl|b fl"),
    (
        "recorder",
        "recorder|recorders|flauto dolce|flauti dolci|flauto a becco|blockfloete|blockfloeten|\
         flute a bec|flutes a bec|flute douce|altblockfloete|sopranblockfloete|rec",
    ),
    ("oboe", "oboe|oboes|oboi|oboen|hautbois|hautboy|hautboys|hoboe|hoboen|ob|hb|htb|hautb"),
    (
        "oboe d'amore",
        "oboe d'amore|oboi d'amore|oboes d'amore|oboe d amore|hautbois d'amour|ob d'am|ob d'amore|oboe damore",
    ),
    ("oboe da caccia", "oboe da caccia|oboi da caccia|ob da caccia"),
    (
        "cor anglais",
        "cor anglais|cors anglais|english horn|english horns|corno inglese|corni inglesi|\
         englischhorn|englisch horn|englischhoerner|englisches horn|eng horn|engl horn|e h|eh|ca|\
         c a|c ing|c ingl|cor ingl|cor ang|cor a|engl h|e hn|eng hn|ehn",
    ),
    (
        "heckelphone",
        "heckelphone|heckelphon|heckelfono|heck|bass oboe|bassoboe|oboe basso|hautbois baryton",
    ),
    (
        "piccolo clarinet",
        "piccolo clarinet|clarinetto piccolo|clarinetti piccoli|kleine klarinette|petite clarinette|\
         kleine klar|pte cl|e flat clarinet|eb clarinet|e♭ clarinet|es klarinette|\
         clarinet in eb|clarinet in e flat|clarinet in e♭|clarinetto in mib|clarinetto in mi bemolle|\
         clarinette en mib|klarinette in es|clarinet in d|clarinetto in re|klarinette in d|d clarinet|\
         clarinet in es|eb cl|es cl|cl in es|cl picc|picc cl",
    ),
    (
        "clarinet",
        "clarinet|clarinets|clarinetto|clarinetti|clarinetts|klarinette|klarinetten|clarinette|\
         clarinettes|klarinet|clarinett|chalumeau|clarino basso|cl|clar|clt|klar|kl|clr",
    ),
    (
        "basset horn",
        "basset horn|basset horns|corno di bassetto|corni di bassetto|bassetthorn|bassetthoerner|cor de basset|cors de basset|basset clarinet|bassettklarinette|bst hn|c di bass|basset hn|basset",
    ),
    ("alto clarinet", "alto clarinet|altklarinette|clarinetto contralto|clarinette alto"),
    (
        "bass clarinet",
        "bass clarinet|bass clarinets|clarinetto basso|clarinetti bassi|clarone|claroni|\
         bassklarinette|bassklarinetten|bass klarinette|bassclarinette|clarinette basse|clarinettes basses|bass cl|\
         b cl|bs cl|bcl|cl b|cl basso|cl bs|cl basse|bkl|bass kl|bkl|bassklar|bass klar|b klar",
    ),
    (
        "contrabass clarinet",
        "contrabass clarinet|contralto clarinet|contra alto clarinet|contra bass clarinet|kontrabassklarinette|clarinetto contrabbasso|clarinette contrebasse|cb cl|contrabass cl",
    ),
    (
        "soprano saxophone",
        "soprano saxophone|soprano sax|sopransaxophon|sassofono soprano|saxophone soprano|sop sax|s sax",
    ),
    (
        "alto saxophone",
        "alto saxophone|alto saxophones|alto sax|altsaxophon|sassofono contralto|sax contralto|saxophone alto|alt sax|a sax",
    ),
    (
        "tenor saxophone",
        "tenor saxophone|tenor saxophones|tenor sax|tenorsaxophon|sassofono tenore|saxophone tenor|ten sax|t sax",
    ),
    (
        "baritone saxophone",
        "baritone saxophone|baritone sax|baritonsaxophon|sassofono baritono|saxophone baryton|bari sax|bar sax|b sax",
    ),
    ("saxophone", "saxophone|saxophones|saxophon|sassofono|sassofoni|sax"),
    (
        "bassoon",
        "bassoon|bassoons|fagotto|fagotti|fagott|fagotte|basson|bassons|dulcian|bsn|fg|fag|bn|bssn|bons|fgt|bass n",
    ),
    (
        "contrabassoon",
        "contrabassoon|contrabassoons|contra bassoon|double bassoon|contrafagotto|contrafagotti|\
         controfagotto|kontrafagott|contrafagott|contrebasson|contre basson|cbsn|c bsn|cfg|c fg|kfg|\
         k fg|kfag|c fag|cfag|cbn|c bn|cb bsn|contra|kontra|db bsn|cbssn",
    ),
    ("sarrusophone", "sarrusophone|sarrusofono|sarrusophon"),
    ("woodwind", "woodwind|woodwinds|winds|holz|holzblaeser|bois|legni"),
    (
        "horn",
        "horn|horns|french horn|french horns|corno|corni|hoerner|cor|cors|waldhorn|waldhoerner|\
         natural horn|naturhorn|corno da caccia|corni da caccia|cor d'harmonie|hn|hrn|hr|cr|hns|hrns|f hn|f hr",
    ),
    (
        "wagner tuba",
        "wagner tuba|wagner tubas|wagnertuba|wagnertuben|tenor tuba|tenortuba|tenortuben|wagner tub",
    ),
    (
        "trumpet",
        "trumpet|trumpets|tromba|trombe|trompete|trompeten|trompette|trompettes|clarino|clarini|\
         natural trumpet|tpt|trp|tr|trpt|trpts|tpts|tbe|trba|trb e|trmp|tpte|tromb a|trbe|tp",
    ),
    (
        "piccolo trumpet",
        "piccolo trumpet|tromba piccola|piccolotrompete|kleine trompete|petite trompette|picc tpt",
    ),
    ("bass trumpet", "bass trumpet|tromba bassa|basstrompete|trompette basse|bass tpt"),
    (
        "cornet",
        "cornet|cornets|cornetta|cornette|kornett|cornet a pistons|cornets a pistons|pistons|pist|crt|cnt|corn",
    ),
    ("flugelhorn", "flugelhorn|fluegelhorn|flicorno|bugle|flhn|flghn"),
    ("cornett", "cornett|cornetto|cornetti|zink|zinken|cornet a bouquin"),
    ("alto trombone", "alto trombone|trombone alto|altposaune|alto tbn|atbn"),
    (
        "trombone",
        "trombone|trombones|tromboni|posaune|posaunen|tenor trombone|tenor trombones|trombone tenore|\
         tenorposaune|tenor posaune|trb|trbn|tbn|pos|tromb|trbni|tbns|trbns|tromb ni|ten tbn|t tbn|sackbut|sackbuts|trb ne|trmb|trbni|tb",
    ),
    (
        "bass trombone",
        "bass trombone|bass trombones|trombone basso|bassposaune|bass posaune|trombone basse|b tbn|bass tbn|b trb|btbn|bass trb|b pos|bpos|tbn b",
    ),
    ("contrabass trombone", "contrabass trombone|kontrabassposaune|trombone contrabbasso|cb tbn"),
    ("euphonium", "euphonium|eufonio|baryton horn|baritone horn|tenorhorn|euph"),
    (
        "tuba",
        "tuba|tubas|basstuba|bass tuba|tuba bassa|tube basse|basstuben|kontrabasstuba|tba|tb a|btb|bassoe tuba|tub",
    ),
    ("cimbasso", "cimbasso|cimbassi"),
    ("ophicleide", "ophicleide|ophikleide|oficleide|ophicleides|oph"),
    ("serpent", "serpent|serpentone|serpens"),
    ("saxhorn", "saxhorn|saxhorns"),
    ("brass", "brass|blech|blechblaeser|cuivres|ottoni"),
    (
        "timpani",
        "timpani|timpano|timp|kettledrums|kettledrum|kettle drums|pauken|pauke|timbales|timballes|timbals|pk|\
         pken|tim|timb|tp ni|timpan",
    ),
    (
        "snare drum",
        "snare drum|snare|side drum|kleine trommel|kl trommel|tamburo|tamburo militare|tamburo piccolo|caisse claire|tambour|tambour militaire|cassa chiara|ruehrtrommel klein|kl tr|s d|s dr|military drum|militaertrommel|sn dr|field drum",
    ),
    (
        "tenor drum",
        "tenor drum|ruehrtrommel|caisse roulante|cassa rullante|tamburo rullante|wirbeltrommel|rullante",
    ),
    (
        "bass drum",
        "bass drum|grosse trommel|gr trommel|gran cassa|grancassa|cassa|grosse caisse|gr tr|g c|gr c|gr cassa|b d|b dr|gc|gr caisse",
    ),
    (
        "tambourine",
        "tambourine|tamburino|tamburin|schellentrommel|tambour de basque|tamburo basco|tamb de basque|tamb|tambn",
    ),
    ("triangle", "triangle|triangolo|triangel|trgl|trg|trgle|trian"),
    (
        "cymbals",
        "cymbals|cymbal|becken|piatti|piatto|cymbales|cinelli|cym|bck|ptti|crash cymbals|clash cymbals|bk|piat",
    ),
    (
        "suspended cymbal",
        "suspended cymbal|susp cymbal|sus cymbal|piatto sospeso|cymbale suspendue|haengendes becken|becken frei|susp cym",
    ),
    ("tam-tam", "tam tam|tamtam|t t"),
    ("gong", "gong|gongs"),
    ("castanets", "castanets|castagnette|kastagnetten|castagnettes|nacchere|cast"),
    (
        "wood block",
        "wood block|woodblock|wood blocks|woodblocks|holzblock|blocco di legno|bloc de bois|holzkasten",
    ),
    ("temple blocks", "temple blocks|temple block|tempelbloecke|blocs chinois"),
    ("tom-toms", "tom tom|tom toms|tomtom|toms"),
    ("whip", "whip|slapstick|frusta|peitsche|fouet|holzklapper"),
    ("ratchet", "ratchet|raganella|ratsche|crecelle|rattle"),
    ("maracas", "maracas|maraca|rumbakugeln"),
    ("guiro", "guiro|guero|gurke|rape guero"),
    ("sleigh bells", "sleigh bells|sonagliera|schellen|schellenkranz|grelots|jingles"),
    ("anvil", "anvil|incudine|amboss|enclume"),
    ("cowbells", "cowbells|cowbell|herdenglocken|almglocken|kuhglocken|campanacci"),
    ("wind machine", "wind machine|windmaschine|eoliphone|macchina del vento"),
    ("thunder sheet", "thunder sheet|donnerblech|donnermaschine|thunder machine"),
    ("drum set", "drum set|drumset|drum kit|drumkit|drums|schlagzeug set|batteria jazz"),
    (
        "crotales",
        "crotales|crotali|antike zimbeln|cymbales antiques|antique cymbals|cimbali antichi",
    ),
    (
        "glockenspiel",
        "glockenspiel|campanelli|jeu de timbres|carillon|orchestra bells|glsp|glock|glck|glspl|c lli|campli|stahlspiel",
    ),
    ("xylophone", "xylophone|xilofono|silofono|xylophon|xyl|xyloph|xylo"),
    ("vibraphone", "vibraphone|vibrafono|vibraphon|vib|vibr"),
    ("marimba", "marimba|marimbaphon|marimbaphone|mar|mrb"),
    (
        "tubular bells",
        "tubular bells|chimes|campane tubolari|campane|roehrenglocken|cloches tubes|cloches|tub bells",
    ),
    ("bells", "bells|glocken|glocke|campana|cloche"),
    ("cimbalom", "cimbalom|zimbal|cymbalum|cembalo ungherese"),
    (
        "percussion",
        "percussion|perc|schlagzeug|schlagwerk|schlzg|percussione|percussioni|batterie|batteria|drum|drumline|schlag",
    ),
    ("harp", "harp|harps|arpa|arpe|harfe|harfen|harpe|harpes|hp|hrf|arp|hfe"),
    ("celesta", "celesta|celeste|cel|cele"),
    (
        "piano",
        "piano|pianos|pianoforte|klavier|clavier|fluegel|fortepiano|hammerklavier|pno|pfte|pf|klav|pft|grand piano",
    ),
    ("harpsichord", "harpsichord|cembalo|clavicembalo|clavecin|cemb|hpsd|hpschd|cembali"),
    ("organ", "organ|organo|orgel|orgue|orgues|org|organo e cembalo|pipe organ|positiv"),
    ("harmonium", "harmonium|armonium|armonio|harm"),
    ("accordion", "accordion|fisarmonica|akkordeon|accordeon|bandoneon|acc"),
    ("clavichord", "clavichord|clavicordo|klavichord|clavicorde"),
    ("ondes martenot", "ondes martenot|ondes"),
    ("keyboard", "keyboard|keyboards|synthesizer|synth|synthesiser|tastiera"),
    ("continuo", "continuo|basso continuo|generalbass|b c|basse continue|bc|cont|figured bass"),
    (
        "guitar",
        "guitar|guitars|chitarra|gitarre|guitare|classical guitar|acoustic guitar|gtr|git|chit",
    ),
    (
        "electric guitar",
        "electric guitar|e gitarre|chitarra elettrica|guitare electrique|e gtr|elec gtr",
    ),
    (
        "bass guitar",
        "bass guitar|electric bass|e bass|basso elettrico|basse electrique|bassgitarre|b gtr",
    ),
    ("mandolin", "mandolin|mandolino|mandoline|mandolinen|mand"),
    ("lute", "lute|liuto|laute|luth"),
    ("theorbo", "theorbo|tiorba|theorbe|chitarrone|archlute"),
    ("banjo", "banjo|bjo"),
    ("plucked strings", "ukulele|zither|balalaika|bouzouki|cittern|vihuela|psaltery|psalterium"),
    (
        "soprano",
        "soprano|sopranos|soprani|sopran|soprane|sopr|sop|s|cantus|canto|superius|discantus|dessus|treble|diskant|triplum",
    ),
    ("mezzo-soprano", "mezzo soprano|mezzo sopranos|mezzosoprano|mezzosopran|mezzo|ms|bas dessus"),
    (
        "alto",
        "contralto|contraltos|contralti|alt|altus|alti|altstimme|alto voice|haute contre|contratenor altus",
    ),
    ("countertenor", "countertenor|counter tenor|contratenor|controtenore|kontratenor"),
    ("tenor", "tenor|tenors|tenori|tenore|tenoere|taille|ten|t|tenor voice"),
    ("baritone", "baritone|baritones|baritono|baritoni|bariton|baryton|barytons|bar"),
    ("bass voice", "bass voice|bass baritone|bassus|basso voce|bass stimme|bassstimme|vocal bass"),
    (
        "children's choir",
        "children's choir|children's chorus|childrens choir|kinderchor|knabenchor|coro di bambini|choeur d'enfants|boys' choir|boys choir|coro di voci bianche",
    ),
    (
        "choir",
        "choir|chorus|chor|coro|cori|choeur|choeurs|frauenchor|maennerchor|women's chorus|men's chorus|women's choir|men's choir|coro femminile|coro maschile",
    ),
    ("narrator", "narrator|sprecher|erzaehler|recitant|narratore|speaker|voce recitante"),
    (
        "voice",
        "quinto|quintus|sexto|sextus|vagans|voice|voices|voce|voci|stimme|singstimme|gesang|voix|chant|vocals|vocal|vox|vo",
    ),
    (
        "violin",
        "violin|violins|violino|violini|violine|violinen|violon|violons|geige|geigen|solovioline|solo violine|vn|vln|vl|vlns|vns|viol|viol ni|vni|vno|geig|violine solo|violonen|fiddle|v ns|vno solo|violin solo",
    ),
    (
        "viola",
        "viola|violas|viole|violen|bratsche|bratschen|altos a cordes|va|vla|vle|br|vlas|vas|brtsch",
    ),
    ("viola d'amore", "viola d'amore|viole d'amore|viola d'amour|viole d'amour|va d'am"),
    (
        "cello",
        "cello|cellos|celli|violoncello|violoncellos|violoncelli|violoncell|violoncelle|violoncelles|vc|vcl|vlc|vcs|vcll|violonc|vllo|velle|vcelle|vlcs",
    ),
    (
        "double bass",
        "double bass|double basses|doublebass|doublebasses|contrabass|contrabasses|contrabasso|contrabassi|\
         contrabbasso|contrabbassi|kontrabass|kontrabaesse|contrebasse|contrebasses|string bass|\
         contra bass|contre basse|violone|violoni|bassi streicher|upright bass|cb|kb|db|c b|cbs|d b|dbs|ctb|k b|d bass|str bass|contrab",
    ),
    (
        "viola da gamba",
        "viola da gamba|viole da gamba|gamba|gamben|viole de gambe|viols|bass viol|treble viol|tenor viol",
    ),
    ("strings", "strings|string|streicher|archi|cordes|string orchestra|str"),
];

/// The catalog name for the longest known name inside these words, the first of equally long ones;
/// `None` if there is none.
pub(super) fn longest(words: &[&str]) -> Option<&'static str> {
    let mut best: Option<(usize, &'static str)> = None;
    for from in 0..words.len() {
        let longest_here = words.len().min(from + 4);
        for to in (from + 1..=longest_here).rev() {
            let len = to - from;
            if best.is_some_and(|(known, _)| known >= len) {
                break;
            }
            let Some(slice) = words.get(from..to) else { continue };
            // Letters alone are keys or voices unless they are the whole name.
            if len < words.len() && slice.iter().all(|word| word.len() == 1) {
                continue;
            }
            if let Some(name) = exactly(slice) {
                best = Some((len, name));
                break;
            }
        }
    }
    best.map(|(_, name)| name)
}

/// The catalog name for exactly these words.
pub(super) fn exactly(words: &[&str]) -> Option<&'static str> {
    match words {
        [word] => SPELLINGS.get(word).copied(),
        words => SPELLINGS.get(words.join(" ").as_str()).copied(),
    }
}

/// Every spelling with its row, for looking one up among some two thousand.
static SPELLINGS: LazyLock<HashMap<&'static str, &'static str>> = LazyLock::new(|| {
    let mut rows = HashMap::new();
    for (name, spellings) in NAMES {
        for spelling in spellings.split('|') {
            // Where two rows have one spelling, the first counts.
            rows.entry(spelling.trim()).or_insert(*name);
        }
    }
    rows
});

/// Whether a word is the plural of a wind instrument's name.
pub(super) fn is_plural(word: &str) -> bool {
    const PLURALS: [&str; 40] = [
        "flutes",
        "flauti",
        "floeten",
        "piccolos",
        "oboes",
        "oboi",
        "oboen",
        "hoboen",
        "clarinets",
        "clarinetti",
        "klarinetten",
        "clarinettes",
        "bassoons",
        "fagotti",
        "fagotte",
        "bassons",
        "contrabassoons",
        "horns",
        "corni",
        "hoerner",
        "cors",
        "trumpets",
        "trombe",
        "trompeten",
        "trompettes",
        "cornets",
        "trombones",
        "tromboni",
        "posaunen",
        "tubas",
        "tuben",
        "saxophones",
        "recorders",
        "blockfloeten",
        "clarini",
        "hns",
        "tpts",
        "tbns",
        "trbns",
        "hrns",
    ];
    PLURALS.contains(&word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::{InstrumentId, recognize};

    #[test]
    fn every_row_names_an_instrument_and_every_name_can_be_found() {
        for (name, spellings) in NAMES {
            assert!(InstrumentId::by_name(name).is_some(), "{name}");
            for spelling in spellings.split('|') {
                let words = recognize::words(spelling);
                assert_eq!(words.join(" "), spelling, "\"{spelling}\" can never match");
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                assert_eq!(exactly(&words), Some(*name), "\"{spelling}\" is taken by another row");
            }
        }
    }
}
