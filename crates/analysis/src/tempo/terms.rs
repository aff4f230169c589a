//! Tempo words and what they stand for: a table of ranges with its sources, and the beat that the
//! words count in a meter. A word gives a range, never a number; the middle is taken.

use barloom_core::meter::Meter;
use barloom_core::time::Quarters;

/// A row of the table of terms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TermRow {
    /// The Italian word, lower case.
    pub name: &'static str,
    /// Beats a minute at the slow end.
    pub low: f64,
    /// Beats a minute at the quick end.
    pub high: f64,
    /// Whether the word counts the small beat in 6/8, 9/8 and 12/8: eighths in slow, dotted
    /// quarters in moderate or fast tempo (Gehrkens, *Essentials in Conducting*, on tempo).
    pub slow: bool,
}

const fn row(name: &'static str, low: f64, high: f64, slow: bool) -> TermRow {
    TermRow { name, low, high, slow }
}

/// Each end is the median of three published tables that disagree: the tradition of the metronome
/// dial (as printed on instrument.bible), the table of musique-harmonie.fr, and a third one of
/// thirteen rows found on the web.
pub static TERMS: &[TermRow] = &[
    row("grave", 40.0, 45.0, true),
    row("largo", 45.0, 58.0, true),
    row("larghetto", 59.0, 65.0, true),
    row("adagio", 66.0, 72.0, true),
    row("andante", 73.0, 90.0, false),
    row("andantino", 80.0, 100.0, false),
    row("moderato", 96.0, 105.0, false),
    row("allegretto", 105.0, 120.0, false),
    row("allegro", 120.0, 150.0, false),
    row("vivace", 141.0, 170.0, false),
    row("presto", 168.0, 200.0, false),
    row("prestissimo", 184.0, 208.0, false),
];

/// Words of other languages, and further Italian ones, that stand for a row (common practice).
const SYNONYMS: &[(&str, &str)] = &[
    ("lento", "largo"),
    ("lent", "largo"),
    ("langsam", "largo"),
    ("slow", "largo"),
    ("breit", "largo"),
    ("adagietto", "adagio"),
    ("gehend", "andante"),
    ("modere", "moderato"),
    ("massig", "moderato"),
    ("maessig", "moderato"),
    ("moderate", "moderato"),
    ("moderately", "moderato"),
    ("anime", "allegro"),
    ("lebhaft", "allegro"),
    ("fast", "allegro"),
    ("lively", "vivace"),
    ("vif", "vivace"),
    ("vivo", "vivace"),
    ("vivacissimo", "presto"),
    ("schnell", "presto"),
];

/// What a tempo word was taken to mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The row of the table.
    pub row: TermRow,
    /// Beats a minute taken from its range.
    pub beats_per_minute: f64,
    /// The beat that is counted.
    pub unit: Quarters,
}

impl Reading {
    /// The same in quarters a minute.
    pub fn quarters_per_minute(&self) -> f64 {
        self.beats_per_minute * self.unit.as_f64()
    }
}

/// What words say about the tempo before them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relative {
    /// Quicker than before.
    Quicker,
    /// Slower than before.
    Slower,
    /// The beat keeps its length (l'istesso tempo).
    SameBeat,
    /// Twice as quick (doppio movimento).
    Double,
    /// Half as quick.
    Half,
}

/// Reads tempo words in a meter; `None` when no word of the table is among them, or when they only
/// say quicker, slower or the same.
pub fn read(words: &str, meter: &Meter) -> Option<Reading> {
    if relative(words).is_some() {
        return None;
    }
    let plain = plain_words(words);
    let (nth, row) =
        plain.iter().enumerate().find_map(|(nth, word)| row_of(word).map(|row| (nth, row)))?;
    let others: Vec<&str> = plain
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != nth)
        .map(|(_, word)| word.as_str())
        .collect();
    let share = share_of_range(&others, &row);
    let beats_per_minute = row.low + (row.high - row.low) * share;
    Some(Reading { row, beats_per_minute, unit: counted_unit(meter, &row) })
}

/// Reads words that only compare with the tempo before: più mosso, meno mosso, l'istesso tempo.
pub fn relative(words: &str) -> Option<Relative> {
    let plain = plain_words(words);
    let has = |word: &str| plain.iter().any(|have| have == word);
    let quick =
        ["mosso", "moto", "allegro", "vivo", "animato", "presto", "vite", "anime", "stretto"];
    let slow = ["lento", "largo", "adagio", "tranquillo", "lent", "calmo", "sostenuto"];
    let any = |list: &[&str]| list.iter().any(|word| has(word));
    let twice = any(&["doppio", "doppelt", "twice", "double"]) || has("deux") && has("fois");
    let half = any(&["half", "halb", "meta", "moitie"]);
    let of_tempo = any(&["tempo", "time", "movimento", "schnell", "fast"]) || any(&quick);
    if (twice || half) && any(&["lento", "lent", "langsam", "slow"]) || half && of_tempo {
        return Some(Relative::Half);
    }
    if twice && of_tempo {
        return Some(Relative::Double);
    }
    let same = any(&["dasselbe", "gleiches", "gleichem", "gleichen", "selben", "same", "meme"])
        && any(&["tempo", "zeitmass", "mouvement", "mouvt", "time"]);
    if same || has("istesso") || has("stesso") || has("medesimo") {
        Some(Relative::SameBeat)
    } else if (has("piu") || has("plus")) && any(&slow) {
        Some(Relative::Slower)
    } else if (has("piu") || has("plus")) && any(&quick) {
        Some(Relative::Quicker)
    } else if (has("meno") || has("moins")) && any(&quick) {
        Some(Relative::Slower)
    } else if has("schneller") || has("bewegter") || has("lebhafter") || has("faster") {
        Some(Relative::Quicker)
    } else if has("langsamer") || has("ruhiger") || has("breiter") || has("slower") {
        Some(Relative::Slower)
    } else {
        None
    }
}

/// The beat that a conductor counts in a meter, before tempo is considered: the lower figure, or
/// three of it in 6/8, 9/8, 12/8.
pub fn notated_beat(meter: &Meter) -> Quarters {
    let unit = i64::from(meter.unit().max(1));
    let threes = if meter.is_compound() { 3 } else { 1 };
    Quarters::new(4 * threes, unit).unwrap_or(Quarters::ONE)
}

fn row_of(word: &str) -> Option<TermRow> {
    let name = SYNONYMS.iter().find(|(synonym, _)| *synonym == word).map_or(word, |(_, name)| name);
    TERMS.iter().find(|row| row.name == name).copied()
}

/// Where in its range the word is taken: the middle, or a quarter from the end that a qualifying
/// word points to (common practice).
fn share_of_range(words: &[&str], row: &TermRow) -> f64 {
    let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
    let softened = has(&["poco", "troppo", "tanto", "moderato", "ziemlich", "peu"]);
    let livelier = has(&["mosso", "moto", "brio", "fuoco", "vivace", "spirito", "agitato"]);
    let sustained = has(&["sostenuto", "maestoso", "tranquillo", "cantabile", "grazioso"]);
    let stressed = has(&["molto", "assai", "tres", "sehr", "very"]);
    // "Molto" and "troppo" go away from and towards the middle tempi.
    let quick_end = !row.slow;
    let quicker = if softened {
        Some(!quick_end)
    } else if livelier {
        Some(true)
    } else if sustained {
        Some(false)
    } else if stressed {
        Some(quick_end)
    } else {
        None
    };
    match quicker {
        Some(true) => 0.75,
        Some(false) => 0.25,
        None => 0.5,
    }
}

fn counted_unit(meter: &Meter, row: &TermRow) -> Quarters {
    let unit = Quarters::new(4, i64::from(meter.unit().max(1))).unwrap_or(Quarters::ONE);
    let small = meter.unit() >= 8;
    let irregular = small && !meter.is_compound() && meter.beats() > 4;
    if row.slow {
        unit
    } else if irregular {
        // In a quick 5/8 or 7/8 the beat is the group, not the eighth.
        unit.scaled(2, 1).unwrap_or(unit)
    } else {
        notated_beat(meter)
    }
}

/// Lower-case words without accents and signs.
fn plain_words(words: &str) -> Vec<String> {
    let plain: String = words
        .to_lowercase()
        .chars()
        .map(|letter| match letter {
            'à' | 'á' | 'â' | 'ä' => 'a',
            'è' | 'é' | 'ê' | 'ë' => 'e',
            'ì' | 'í' | 'î' | 'ï' => 'i',
            'ò' | 'ó' | 'ô' | 'ö' => 'o',
            'ù' | 'ú' | 'û' | 'ü' => 'u',
            'ß' => 'S',
            letter if letter.is_alphabetic() => letter,
            _ => ' ',
        })
        .collect();
    plain.split_whitespace().map(|word| word.replace('S', "ss")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_in(words: &str, meter: &str) -> Option<f64> {
        read(words, &meter.parse().unwrap()).map(|reading| reading.quarters_per_minute())
    }

    /// Tables of tempo words disagree; what they share is the order (instrument.bible,
    /// musique-harmonie.fr).
    #[test]
    fn terms_are_in_order_and_presto_lies_above_andante() {
        let middle = |row: &TermRow| (row.low + row.high) / 2.0;
        assert!(TERMS.windows(2).all(|pair| middle(&pair[0]) < middle(&pair[1])));
        let of = |name: &str| TERMS.iter().find(|row| row.name == name).unwrap();
        assert!(of("presto").low > of("andante").high);
        assert!(read_in("Allegro", "4/4") > read_in("Andante con moto", "4/4"));
    }

    /// Eighths in slow, dotted quarters in moderate or fast tempo (Gehrkens, on tempo).
    #[test]
    fn terms_count_the_beat_of_the_meter() {
        assert_eq!(read_in("Adagio", "6/8"), Some(34.5));
        assert_eq!(read_in("Allegro", "6/8"), Some(135.0 * 1.5));
        assert_eq!(read_in("Adagio", "2/2"), Some(138.0));
        assert_eq!(read_in("Allegro", "7/8"), Some(135.0));
    }

    #[test]
    fn words_are_read_in_several_spellings_and_tongues() {
        assert_eq!(read_in("Sehr langsam", "4/4"), read_in("Largo assai", "4/4"));
        assert_eq!(read_in("Modéré", "4/4"), read_in("MODERATO.", "4/4"));
        assert_eq!(read_in("Mäßig", "4/4"), read_in("moderato", "4/4"));
        assert_eq!(read_in("dolce", "4/4"), None);
        assert!(read_in("Allegro molto", "4/4") > read_in("Allegro ma non troppo", "4/4"));
    }

    #[test]
    fn comparing_words_give_no_number_of_their_own() {
        assert_eq!(relative("Più mosso"), Some(Relative::Quicker));
        assert_eq!(relative("Meno mosso"), Some(Relative::Slower));
        assert_eq!(relative("Un poco più lento"), Some(Relative::Slower));
        assert_eq!(relative("L'istesso tempo"), Some(Relative::SameBeat));
        assert_eq!(relative("Doppio movimento"), Some(Relative::Double));
        assert_eq!(relative("doppelt so schnell"), Some(Relative::Double));
        assert_eq!(relative("Double time"), Some(Relative::Double));
        assert_eq!(relative("Il doppio più lento"), Some(Relative::Half));
        assert_eq!(relative("Half time"), Some(Relative::Half));
        assert_eq!(relative("Même mouvement"), Some(Relative::SameBeat));
        assert_eq!(relative("Dasselbe Zeitmaß"), Some(Relative::SameBeat));
        assert_eq!(relative("Andante con moto"), None);
        assert_eq!(read_in("Più allegro", "4/4"), None);
    }
}
