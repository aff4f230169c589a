//! What stands above and below the notes, ready to be written: signs and words with their place, and
//! how each becomes a `direction` or `sound` element.

use super::metronome;
use super::note::semitones;
use super::xml::Xml;
use barloom_core::event::{Device, Level, StringTuning};
use barloom_core::score::TempoKind;
use barloom_core::time::Ticks;

/// The least place of a kind of direction among those of one position.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Rank {
    /// Ends of what began earlier.
    Ends,
    /// What holds for the whole score.
    Score,
    /// Everything else, in the order of the model.
    Plain,
    /// Ends of what begins here.
    EndsHere,
    /// Jumps at the end of a bar.
    Jumps,
}

/// One direction of a part.
#[derive(Clone, Debug)]
pub(super) struct Direction {
    /// The bar it is written in.
    pub(super) bar: usize,
    /// Where, from the start of the movement.
    pub(super) at: Ticks,
    /// Its place among those of one position.
    pub(super) rank: Rank,
    /// The staff it belongs to.
    pub(super) staff: Option<u8>,
    /// The voice it belongs to.
    pub(super) voice: Option<u8>,
    /// What is printed; empty for what is only played.
    pub(super) signs: Vec<Sign>,
    /// What playback is told: an attribute of the `sound` element and its value.
    pub(super) sound: Vec<(&'static str, String)>,
    /// An instrument taken up, for playback: the id in the list of parts and the standard sound.
    pub(super) instrument: Option<(String, &'static str)>,
    /// A mute for playback, by its name in the standard.
    pub(super) play_mute: Option<&'static str>,
    /// Whether pairs of notes swing from here.
    pub(super) swing: Option<Swing>,
}

/// The `swing` element of playback.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Swing {
    /// The first of a pair to the second, and the name of the note value of each; `None` where pairs
    /// are even again.
    pub(super) ratio: Option<(u32, u32, &'static str)>,
    /// The name of the style; empty if it has none.
    pub(super) style: String,
}

/// One printed sign.
#[derive(Clone, Debug)]
pub(super) enum Sign {
    /// Words; bold for tempo, in italics for what the conductor wrote.
    Words { text: String, bold: bool, italic: bool },
    /// A rehearsal mark.
    Rehearsal(String),
    /// A dynamic sign.
    Dynamics(Dynamic),
    /// A hairpin begins.
    Wedge { louder: bool, number: usize, niente: bool },
    /// A hairpin ends.
    WedgeStop { number: usize, niente: bool },
    /// Dashes behind words begin or end.
    Dashes { starts: bool, number: usize },
    /// A metronome mark or an equation.
    Metronome(TempoKind),
    /// The sign of a dal segno.
    Segno,
    /// The sign of the coda.
    Coda,
    /// The pedals of a harp in the order D C B E F G A.
    HarpPedals([i8; 7]),
    /// Strings tuned otherwise.
    Scordatura(Box<[StringTuning]>),
    /// A mute on or off.
    StringMute(bool),
    /// Damp.
    Damp,
    /// Eyeglasses: watch.
    Eyeglasses,
    /// A principal or secondary voice begins or ends.
    Leading { principal: bool, on: bool },
}

/// A dynamic sign.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Dynamic {
    /// A level.
    Level(Level),
    /// An accent and what follows it.
    Accent(Option<Level>),
}

impl Direction {
    /// A direction with nothing in it yet.
    pub(super) fn at(bar: usize, at: Ticks) -> Self {
        Self {
            bar,
            at,
            rank: Rank::Plain,
            staff: None,
            voice: None,
            signs: Vec::new(),
            sound: Vec::new(),
            instrument: None,
            play_mute: None,
            swing: None,
        }
    }

    /// A direction with one sign.
    pub(super) fn with(bar: usize, at: Ticks, sign: Sign) -> Self {
        Self { signs: vec![sign], ..Self::at(bar, at) }
    }

    /// Writes the element, `offset` divisions behind where the voice stands.
    pub(super) fn write(&self, xml: &mut Xml, offset: i64, voice: Option<u8>, staves: u8) {
        if self.signs.is_empty() {
            return self.sound(xml, offset);
        }
        // Below the upper of several staves a sign would hold for the next one too.
        let above = self.rank == Rank::Score || staves > 1 && self.staff == Some(1);
        let attributes: &[_] = if above { &[("placement", "above")] } else { &[] };
        xml.open("direction", attributes);
        for sign in &self.signs {
            xml.open("direction-type", &[]);
            sign.write(xml);
            xml.close();
        }
        if offset != 0 {
            // It is heard where it stands, and not where the notes have come to.
            xml.leaf("offset", &[("sound", "yes")], &offset.to_string());
        }
        if let Some(voice) = voice {
            xml.number("voice", voice);
        }
        if let Some(staff) = self.staff {
            xml.number("staff", staff);
        }
        self.sound(xml, 0);
        xml.close();
    }

    fn sound(&self, xml: &mut Xml, offset: i64) {
        let plain = self.instrument.is_none() && self.play_mute.is_none() && self.swing.is_none();
        if self.sound.is_empty() && plain {
            return;
        }
        let attributes: Vec<(&'static str, &str)> =
            self.sound.iter().map(|(key, value)| (*key, value.as_str())).collect();
        if plain && offset == 0 {
            return xml.empty("sound", &attributes);
        }
        xml.open("sound", &attributes);
        if let Some((id, sound)) = &self.instrument {
            xml.open("instrument-change", &[("id", id)]);
            xml.leaf("instrument-sound", &[], sound);
            xml.close();
        }
        if let Some(mute) = self.play_mute {
            xml.open("play", &[]);
            xml.leaf("mute", &[], mute);
            xml.close();
        }
        if let Some(swing) = &self.swing {
            swing.write(xml);
        }
        if offset != 0 {
            xml.number("offset", offset);
        }
        xml.close();
    }
}

impl Swing {
    fn write(&self, xml: &mut Xml) {
        xml.open("swing", &[]);
        match self.ratio {
            Some((first, second, unit)) => {
                xml.number("first", first);
                xml.number("second", second);
                xml.leaf("swing-type", &[], unit);
            }
            None => xml.empty("straight", &[]),
        }
        if !self.style.is_empty() {
            xml.leaf("swing-style", &[], &self.style);
        }
        xml.close();
    }
}

impl Sign {
    fn write(&self, xml: &mut Xml) {
        match self {
            Self::Words { text, bold, italic } => {
                let mut attributes = Vec::new();
                if *bold {
                    attributes.push(("font-weight", "bold"));
                }
                if *italic {
                    attributes.insert(0, ("font-style", "italic"));
                }
                xml.leaf("words", &attributes, text);
            }
            Self::Rehearsal(mark) => xml.leaf("rehearsal", &[], mark),
            Self::Dynamics(dynamic) => dynamic.write(xml),
            Self::Wedge { louder, number, niente } => {
                let kind = if *louder { "crescendo" } else { "diminuendo" };
                wedge(xml, kind, *number, *niente && *louder);
            }
            Self::WedgeStop { number, niente } => wedge(xml, "stop", *number, *niente),
            Self::Dashes { starts, number } => {
                let kind = if *starts { "start" } else { "stop" };
                xml.empty("dashes", &[("type", kind), ("number", &number.to_string())]);
            }
            Self::Metronome(kind) => metronome::write(xml, kind),
            Self::Segno => xml.empty("segno", &[]),
            Self::Coda => xml.empty("coda", &[]),
            Self::HarpPedals(pedals) => harp_pedals(xml, pedals),
            Self::Scordatura(strings) => scordatura(xml, strings),
            Self::StringMute(on) => {
                xml.empty("string-mute", &[("type", if *on { "on" } else { "off" })]);
            }
            Self::Damp => xml.empty("damp", &[]),
            Self::Eyeglasses => xml.empty("eyeglasses", &[]),
            Self::Leading { principal, on } => {
                let symbol = if *principal { "Hauptstimme" } else { "Nebenstimme" };
                let kind = if *on { "start" } else { "stop" };
                xml.empty("principal-voice", &[("type", kind), ("symbol", symbol)]);
            }
        }
    }
}

fn wedge(xml: &mut Xml, kind: &str, number: usize, niente: bool) {
    let number = number.to_string();
    let mut attributes = vec![("type", kind), ("number", number.as_str())];
    if niente {
        attributes.push(("niente", "yes"));
    }
    xml.empty("wedge", &attributes);
}

fn scordatura(xml: &mut Xml, strings: &[StringTuning]) {
    xml.open("scordatura", &[]);
    for StringTuning { string, pitch } in strings {
        xml.open("accord", &[("string", &string.to_string())]);
        xml.leaf("tuning-step", &[], &format!("{:?}", pitch.step));
        if pitch.alter_quarter_tones != 0 {
            xml.leaf("tuning-alter", &[], &semitones(pitch.alter_quarter_tones));
        }
        xml.number("tuning-octave", pitch.octave.clamp(0, 9));
        xml.close();
    }
    xml.close();
}

fn harp_pedals(xml: &mut Xml, pedals: &[i8; 7]) {
    xml.open("harp-pedals", &[]);
    for (step, alter) in ["D", "C", "B", "E", "F", "G", "A"].iter().zip(pedals) {
        xml.open("pedal-tuning", &[]);
        xml.leaf("pedal-step", &[], step);
        xml.number("pedal-alter", alter);
        xml.close();
    }
    xml.close();
}

impl Dynamic {
    /// Writes the `dynamics` element.
    pub(super) fn write(self, xml: &mut Xml) {
        xml.open("dynamics", &[]);
        match self {
            // Every level has an element of its own name.
            Self::Level(level) => xml.empty(level.letters(), &[]),
            Self::Accent(None) => xml.empty("sf", &[]),
            Self::Accent(Some(Level::P)) => xml.empty("fp", &[]),
            Self::Accent(Some(Level::Pp)) => xml.empty("sfpp", &[]),
            Self::Accent(Some(level)) => {
                xml.leaf("other-dynamics", &[], &format!("sf{}", level.letters()));
            }
        }
        xml.close();
    }
}

/// The words that put a device into force or end it, as the trade writes them; `None` where only a
/// sign does it.
pub(super) fn device_words(device: Device, on: bool) -> &'static str {
    match (device, on) {
        (Device::Mute, true) => "con sord.",
        (Device::Mute, false) => "senza sord.",
        (Device::Plucked, true) => "pizz.",
        (Device::Plucked, false) => "arco",
        (Device::Bridge, true) => "sul pont.",
        (Device::Fingerboard, true) => "sul tasto",
        (Device::Wood, true) => "col legno",
        (Device::Bridge | Device::Fingerboard | Device::Wood, false) => "ord.",
        (Device::Harmonics, true) => "armonici",
        (Device::Harmonics, false) => "ord.",
        (Device::Tremolo, true) => "trem.",
        (Device::Tremolo, false) => "non trem.",
        (Device::Stopped, true) => "chiuso",
        (Device::Stopped, false) => "aperto",
        (Device::Brassy, true) => "cuivr\u{e9}",
        (Device::Brassy, false) => "ord.",
        (Device::BellsUp, true) => "campana in aria",
        (Device::BellsUp, false) => "bells down",
        (Device::Flutter, true) => "frull.",
        (Device::Flutter, false) => "ord.",
        (Device::Muffled, true) => "coperto",
        (Device::Muffled, false) => "scoperto",
        (Device::LetRing, true) => "l.v.",
        (Device::LetRing, false) => "secco",
    }
}
