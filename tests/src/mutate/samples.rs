//! Small files of our own that damage is done to, so that no test needs data from elsewhere.

/// The packed score of the shortest movement of the example suite.
pub const PACKED_SCORE: &[u8] = include_bytes!("../../../examples/tide-mill/5-weir-song.mxl");

/// Its name.
pub const PACKED_NAME: &str = "5-weir-song.mxl";

const STUDY: &str = include_str!("../../../examples/tide-mill/the-tide-mill.barloom");

/// Entries of the kinds that the study of the example has none of.
const MORE_ENTRIES: &str = "    \
    Group(bars: \"m5 b1-8\", level: 2, name: \"first verse\", id: \"aaaaaaaaaaad\"),\n    \
    Instrument(at: \"m5 b3\", part: \"oboe-2\", instrument: \"cor anglais\", id: \"aaaaaaaaaaaA\"),\n    \
    Players(part: \"flute-1-2\", players: [\"Flute 1\", \"Flute 2\"], id: \"aaaaaaaaaaa2\"),\n    \
    Device(at: \"m5 b2 +1/2\", part: \"violas\", device: \"mute\", begins: true, id: \"aaaaaaaaaaa3\"),\n    \
    Rehearsal(bar: \"m5 b6\", mark: \"Q\", id: \"aaaaaaaaaaa9\"),\n    \
    Number(bar: \"m5 b7\", number: 7, id: \"aaaaaaaaaaab\"),\n    \
    TempoTerm(at: \"m5 b5\", term: \"Lento\", id: \"aaaaaaaaaaac\"),\n    \
    Tempo(at: \"m5 b1\", unit: \"3/2\", per_minute: 48.0, id: \"aaaaaaaaaaa4\"),\n    \
    TempoAsBefore(at: \"m5 b9\", id: \"aaaaaaaaaaa5\"),\n    \
    Repeat(bar: \"m5 b8\", taken: false, id: \"aaaaaaaaaaa6\"),\n    \
    Cut(bars: \"m5 b10-12\", id: \"aaaaaaaaaaa7\"),\n    \
    Pause(after: \"m5 b4\", seconds: 2.5, id: \"aaaaaaaaaaa8\"),\n";

/// A study of that movement alone, with entries of every kind: the example's study without the
/// other movements and what stands in them.
pub fn study() -> String {
    let mut out = String::new();
    let mut other_movement = false;
    for line in STUDY.lines() {
        if line.trim_start().starts_with("(id: ") {
            other_movement = !line.contains("(id: 5,");
        }
        let elsewhere = ["m1 ", "m2 ", "m3 ", "m4 ", "m6 "];
        let entry_elsewhere = elsewhere.iter().any(|place| line.contains(&format!("\"{place}")));
        let other_source = line.contains("File(") && !line.contains(PACKED_NAME);
        if !other_movement && !entry_elsewhere && !other_source {
            out.push_str(&line.replace("source: 5", "source: 1"));
            out.push('\n');
        }
        if line.contains("entries: [") {
            out.push_str(MORE_ENTRIES);
        }
        other_movement &= line.trim() != "]),";
    }
    out
}

/// A small score that uses much of MusicXML: two parts, one of them on two staves.
pub const MUSICXML: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <work><work-title>Four small doors</work-title></work>
  <movement-title>Second door</movement-title>
  <identification><creator type="composer">Ilka Tornby</creator></identification>
  <part-list>
    <part-group type="start" number="1"><group-symbol>bracket</group-symbol></part-group>
    <score-part id="P1">
      <part-name>Clarinets 1.2 in B flat</part-name><part-abbreviation>Cl.</part-abbreviation>
      <score-instrument id="P1-I1"><instrument-name>Clarinet</instrument-name><instrument-sound>wind.reed.clarinet.bflat</instrument-sound></score-instrument>
      <score-instrument id="P1-I2"><instrument-name>Bass clarinet</instrument-name></score-instrument>
      <midi-instrument id="P1-I1"><midi-channel>1</midi-channel><midi-program>72</midi-program></midi-instrument>
    </score-part>
    <part-group type="stop" number="1"/>
    <score-part id="P2"><part-name>Harp</part-name></score-part>
  </part-list>
  <part id="P1">
    <measure number="0" implicit="yes">
      <attributes><divisions>12</divisions><key><fifths>2</fifths><mode>major</mode></key>
        <time symbol="common"><beats>4</beats><beat-type>4</beat-type></time>
        <clef><sign>G</sign><line>2</line></clef>
        <transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>
      <direction placement="above"><direction-type><words font-weight="bold">Allegro, ma con calma</words></direction-type>
        <direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>c. 96</per-minute></metronome></direction-type><sound tempo="96"/></direction>
      <note><pitch><step>D</step><octave>5</octave></pitch><duration>12</duration><voice>1</voice><type>quarter</type></note>
    </measure>
    <measure number="1">
      <barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>
      <direction><direction-type><dynamics><mf/></dynamics></direction-type><voice>1</voice></direction>
      <direction><direction-type><wedge type="crescendo" number="1"/></direction-type><offset>6</offset></direction>
      <note><pitch><step>E</step><alter>-1</alter><octave>5</octave></pitch><duration>8</duration><voice>1</voice><type>quarter</type>
        <time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>
        <notations><tuplet type="start" number="1"/><slur type="start" number="1"/></notations></note>
      <note><chord/><pitch><step>G</step><octave>5</octave></pitch><duration>8</duration><voice>1</voice></note>
      <note><pitch><step>F</step><octave>5</octave></pitch><duration>16</duration><voice>1</voice><type>half</type>
        <time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>
        <notations><tuplet type="stop" number="1"/><articulations><accent/><breath-mark/></articulations></notations></note>
      <note><grace slash="yes"/><pitch><step>A</step><octave>5</octave></pitch><voice>1</voice></note>
      <note><pitch><step>G</step><octave>5</octave></pitch><duration>24</duration><tie type="start"/><voice>1</voice><type>half</type>
        <notations><tied type="start"/><fermata/><ornaments><tremolo type="single">3</tremolo></ornaments></notations></note>
      <backup><duration>48</duration></backup>
      <note><rest/><duration>24</duration><voice>2</voice></note>
      <forward><duration>24</duration><voice>2</voice></forward>
    </measure>
    <measure number="2">
      <barline location="left"><ending number="1" type="start"/></barline>
      <direction><direction-type><wedge type="stop" number="1"/></direction-type></direction>
      <direction><direction-type><words>1. solo</words></direction-type></direction>
      <note><pitch><step>G</step><octave>5</octave></pitch><duration>48</duration><tie type="stop"/><voice>1</voice><type>whole</type></note>
      <barline location="right"><bar-style>light-heavy</bar-style><ending number="1" type="stop"/><repeat direction="backward" times="2"/></barline>
    </measure>
    <measure number="3">
      <attributes><time><beats>3+2</beats><beat-type>8</beat-type></time></attributes>
      <barline location="left"><ending number="2" type="start"/></barline>
      <direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>
      <direction><direction-type><words>muta in clarinetto basso</words></direction-type><sound><instrument-change id="P1-I2"/></sound></direction>
      <note><rest measure="yes"/><duration>30</duration></note>
      <barline location="right"><ending number="2" type="discontinue"/></barline>
    </measure>
    <measure number="4">
      <direction><direction-type><words>D.C. al Fine</words></direction-type><sound dacapo="yes" fine="yes"/></direction>
      <note><instrument id="P1-I2"/><pitch><step>C</step><octave>4</octave></pitch><duration>30</duration><voice>1</voice></note>
      <barline location="right"><bar-style>light-heavy</bar-style></barline>
    </measure>
  </part>
  <part id="P2">
    <measure number="0" implicit="yes">
      <attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time><staves>2</staves>
        <clef number="1"><sign>G</sign><line>2</line></clef><clef number="2"><sign>F</sign><line>4</line></clef></attributes>
      <note><rest/><duration>4</duration><voice>1</voice><staff>1</staff></note>
    </measure>
    <measure number="1">
      <direction><direction-type><harp-pedals><pedal-tuning><pedal-step>D</pedal-step><pedal-alter>0</pedal-alter></pedal-tuning></harp-pedals></direction-type></direction>
      <note><pitch><step>C</step><octave>3</octave></pitch><duration>16</duration><voice>5</voice><staff>2</staff>
        <notations><arpeggiate/><technical><harmonic/></technical></notations></note>
      <backup><duration>16</duration></backup>
      <note><pitch><step>E</step><octave>4</octave></pitch><duration>16</duration><voice>1</voice><staff>1</staff><notations><glissando type="start" number="1"/></notations></note>
    </measure>
    <measure number="2"><attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes><note><rest measure="yes"/><duration>16</duration></note></measure>
    <measure number="3"><note><rest measure="yes"/><duration>10</duration></note></measure>
    <measure number="4">
      <direction><direction-type><octave-shift type="down" size="8"/></direction-type><staff>1</staff></direction>
      <note><pitch><step>B</step><alter>-1</alter><octave>6</octave></pitch><duration>10</duration><voice>1</voice><staff>1</staff></note>
      <direction><direction-type><octave-shift type="stop" size="8"/></direction-type><staff>1</staff></direction>
    </measure>
  </part>
</score-partwise>
"#;

/// A timewise score with a part that is missing in a measure.
pub const TIMEWISE: &str = r#"<score-timewise version="4.0">
  <part-list><score-part id="a"><part-name>Viola</part-name></score-part><score-part id="b"><part-name>Tuba</part-name></score-part></part-list>
  <measure number="1">
    <part id="a"><attributes><divisions>2</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>
      <note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note></part>
    <part id="b"><attributes><divisions>2</divisions></attributes><note><rest/><duration>4</duration></note></part>
  </measure>
  <measure number="2"><part id="a"><note><rest/><duration>4</duration></note></part></measure>
  <measure number="3">
    <part id="b"><note><pitch><step>F</step><octave>2</octave></pitch><duration>4</duration></note></part>
    <part id="a"><direction><direction-type><words>rit.</words></direction-type></direction><note><pitch><step>D</step><octave>4</octave></pitch><duration>4</duration></note></part>
  </measure>
</score-timewise>
"#;

/// A small score in MEI with repeats, two staves, spans and a tuplet.
pub const MEI: &str = r##"<?xml version="1.0" encoding="UTF-8"?>
<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0">
  <meiHead><fileDesc><titleStmt><title>Two gates</title><composer>Ilka Tornby</composer></titleStmt><pubStmt/></fileDesc></meiHead>
  <music><body><mdiv n="1"><score>
    <scoreDef meter.count="3" meter.unit="4" key.sig="1f" ppq="12">
      <staffGrp symbol="bracket">
        <staffDef n="1" lines="5" clef.shape="G" clef.line="2" trans.semi="-2" trans.diat="-1"><label>Clarinet in B flat</label><labelAbbr>Cl.</labelAbbr><instrDef midi.instrnum="71"/></staffDef>
        <staffGrp symbol="brace"><label>Harp</label><staffDef n="2" lines="5" clef.shape="G" clef.line="2"/><staffDef n="3" lines="5" clef.shape="F" clef.line="4"/></staffGrp>
      </staffGrp>
    </scoreDef>
    <section>
      <measure n="0" metcon="false" left="rptstart">
        <staff n="1"><layer n="1"><note xml:id="n1" pname="d" oct="5" dur="4"/></layer></staff>
        <staff n="2"><layer n="1"><rest dur="4"/></layer></staff><staff n="3"><layer n="1"><rest dur="4"/></layer></staff>
        <tempo tstamp="1" staff="1" midi.bpm="88" mm="88" mm.unit="4">Andante</tempo>
      </measure>
      <measure n="1">
        <staff n="1"><layer n="1"><tuplet num="3" numbase="2"><note pname="e" oct="5" dur="8"/><note pname="f" oct="5" dur="8" accid="s"/><rest dur="8"/></tuplet><beam><note pname="g" oct="5" dur="8" dots="1"/><note pname="a" oct="5" dur="16"/></beam><note xml:id="n2" pname="b" oct="4" dur="4" tie="i" grace="unacc"/></layer><layer n="2"><space dur="2"/><note pname="c" oct="4" dur="4"/></layer></staff>
        <staff n="2"><layer n="1"><chord dur="2" dots="1" arpeg="up"><note pname="c" oct="4"/><note pname="e" oct="4"/></chord></layer></staff>
        <staff n="3"><layer n="1"><bTrem unitdur="16"><note pname="c" oct="3" dur="2" dots="1"/></bTrem></layer></staff>
        <dynam tstamp="1" staff="1">mf</dynam><hairpin form="cres" tstamp="2" tstamp2="1m+2" staff="1"/>
        <slur startid="#n1" endid="#n2"/><fermata startid="#n2"/><dir tstamp="2" staff="2 3">con sord.</dir>
      </measure>
      <ending n="1"><measure n="2" right="rptend"><staff n="1"><layer n="1"><mRest/></layer></staff><staff n="2"><layer n="1"><mRpt/></layer></staff><staff n="3"><layer n="1"><mRest/></layer></staff></measure></ending>
      <ending n="2"><measure n="3" right="dbl"><staff n="1"><layer n="1"><note pname="d" oct="5" dur="2" dots="1"/></layer></staff><staff n="2"><layer n="1"><multiRest num="2"/></layer></staff><staff n="3"><layer n="1"><mRest/></layer></staff><reh tstamp="1">A</reh></measure></ending>
      <scoreDef meter.count="2+3" meter.unit="8"/>
      <measure n="4" right="end"><staff n="1"><layer n="1"><note pname="d" oct="5" dur="2"/><note pname="d" oct="5" dur="8"/></layer></staff><staff n="3"><layer n="1"><fTrem><note pname="c" oct="3" dur="4"/><note pname="g" oct="3" dur="4"/></fTrem><rest dur="8"/></layer></staff><octave dis="8" dis.place="above" tstamp="1" tstamp2="0m+2" staff="1"/><repeatMark func="daCapo" tstamp="1">D.C.</repeatMark></measure>
    </section>
  </score></mdiv></body></music>
</mei>
"##;
