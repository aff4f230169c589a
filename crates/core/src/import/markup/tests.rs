//! The scanner against the general parser: what it takes, it must take in the same way.

use super::{Node, Tree, document, from_general};
use roxmltree::{Document, ParsingOptions};

fn general(text: &str) -> Option<Document<'_>> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(text, options).ok()
}

/// A tree as text: names, attributes, texts without the space around them, places.
fn shown(tree: &Tree<'_>) -> String {
    fn element(node: Node<'_, '_>, out: &mut String) {
        let text = node.text().unwrap_or_default().trim();
        let range = node.is_element().then(|| node.range());
        out.push_str(&format!("{}{range:?}{text:?}", node.name()));
        let own = &node.tree.elements[node.idx as usize];
        let first = own.first_attribute as usize;
        for (name, value) in &node.tree.attributes[first..first + own.n_attributes as usize] {
            out.push_str(&format!(" {name}={:?}", node.tree.read(*value)));
        }
        out.push('(');
        node.children().for_each(|child| element(child, out));
        out.push(')');
    }
    let mut out = String::new();
    element(tree.root_element(), &mut out);
    out
}

/// Whether the scanner takes a text. If it does, the general parser must agree.
#[track_caller]
fn check(text: &str) -> bool {
    let Some(scanned) = document(text) else { return false };
    let general = general(text).unwrap_or_else(|| panic!("taken but not well-formed: {text:?}"));
    assert_eq!(shown(&scanned), shown(&from_general(&general)), "{text:?}");
    true
}

#[test]
fn plain_documents_are_taken() {
    for text in [
        "<a/>",
        "<a></a >",
        "\n<a b='1' c = \"2'\"\n d=''>x<b/>\n<c e='1'>y</c>z</a>\n",
        "<?xml version=\"1.0\" encoding='UTF-8' standalone=\"no\"?>\n<a/>",
        "<!DOCTYPE a PUBLIC \"-//x\" \"http://x/>\"><!-- c --><a/><!-- d -->",
        "<!DOCTYPE a SYSTEM 'x'>\n<a/>",
        "<!DOCTYPE a><a><?x y?><!-- - --></a>",
        "<a b='&lt;&#65;\n\t&#x42;&quot;'>1 &amp; 2\r\n3&apos;\r4</a>",
        "<a>\r\n  <b>x]y]]z></b>\r\n</a>",
        "<a>1<![CDATA[<2>&amp;]]>3<!-- -->4<b/>5<![CDATA[6]]></a>",
        "<a xmlns='u' xmlns:x='v' x:b='1' xml:lang='fr' b='2'><c x:d='3'/></a>",
        "<a>ôtez\u{FEFF}é 𝄞</a>",
    ] {
        assert!(check(text), "{text:?} was not taken");
    }
}

#[test]
fn what_is_not_certain_is_left_to_the_general_parser() {
    let many: String = (0..70).map(|n| format!(" a{n}=''")).collect();
    for text in [
        "",
        " ",
        "x",
        "<a>",
        "<a/><b/>",
        "<a/>x",
        "<a></b>",
        "<a b='1'c='2'/>",
        "<a b='1' b='2'/>",
        "<a b='<'/>",
        "<a b/>",
        "<a b=1/>",
        "< a/>",
        "<1/>",
        "<é/>",
        "<x:a xmlns:x='u'/>",
        "<a x:b='1'/>",
        "<a><b xmlns:x='u' x:b='1'/></a>",
        "<a xmlns:x='u' xmlns:y='u' x:b='' y:b=''/>",
        "<a>&x;</a>",
        "<a>&#0;</a>",
        "<a>&#+65;</a>",
        "<a>& </a>",
        "<a>]]></a>",
        "<a>\u{1}</a>",
        "<a>\u{FFFF}</a>",
        "<a b='\u{FFFE}'/>",
        "<a><!-- -- --></a>",
        "<a><!-- ---></a>",
        "<a><!-- \u{1} --></a>",
        "<a><![CDATA[</a>",
        "<a><?xml version='1.0'?></a>",
        " <?xml version='1.0'?><a/>",
        "<?xml encoding='UTF-8'?><a/>",
        "<!DOCTYPE a [<!ENTITY x 'y'>]><a/>",
        "<!DOCTYPE a [<!ELEMENT a ANY>]><a/>",
        &format!("<a{many}/>"),
        &"<a>".repeat(300),
    ] {
        assert!(!check(text), "{text:?} was taken");
    }
}

/// Any sequence of pieces of markup: taken only if well-formed, and then the same.
#[test]
fn random_markup_is_taken_only_as_the_general_parser_does() {
    const PIECES: &[&str] = &[
        "<a>",
        "</a>",
        "<b x='1'>",
        "</b>",
        "<c/>",
        "<c y=\"&amp;\" z='>'/>",
        "text",
        " ",
        "\r\n",
        "&lt;",
        "&#233;",
        "<!-- c -->",
        "<![CDATA[<]]>",
        "<?p q?>",
        "]",
        "]]>",
        "--",
        "é",
        "&",
        "<",
        "'",
        "\"",
        "=",
        "/",
        ">",
        "\u{7f}",
        "<?xml version='1.0'?>",
    ];
    // Knuth's MMIX constants; the same documents every time.
    let mut state = 1u64;
    let mut next = |below: usize| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    };
    let mut taken = 0;
    for _ in 0..40_000 {
        let mut text = String::from("<a>");
        let odd = next(4);
        for _ in 0..next(12) {
            let among = if odd == 0 { PIECES.len() } else { 15 };
            text.push_str(PIECES[next(among)]);
        }
        text.push_str("</a>");
        taken += usize::from(check(&text));
    }
    assert!(taken > 2000, "only {taken} were taken");
}
