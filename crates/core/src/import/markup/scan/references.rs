//! References in texts and attribute values.

/// A text with its references resolved and its line ends made one; in attributes these and tabs are
/// spaces. `None` if it refers to something unknown.
#[cold]
pub(super) fn resolved(text: &str, attribute: bool) -> Option<String> {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['&', '\r', '\n', '\t']) {
        out.push_str(rest.get(..at)?);
        let found = rest.get(at..)?;
        rest = found.get(1..)?;
        match found.as_bytes().first()? {
            b'&' => {
                let (reference, behind) = rest.split_once(';')?;
                out.push(referred(reference)?);
                rest = behind;
            }
            b'\t' => out.push(if attribute { ' ' } else { '\t' }),
            first => {
                if *first == b'\r' {
                    rest = rest.strip_prefix('\n').unwrap_or(rest);
                }
                out.push(if attribute { ' ' } else { '\n' });
            }
        }
    }
    out.push_str(rest);
    Some(out)
}

fn referred(reference: &str) -> Option<char> {
    let code = match reference {
        "amp" => return Some('&'),
        "lt" => return Some('<'),
        "gt" => return Some('>'),
        "quot" => return Some('"'),
        "apos" => return Some('\''),
        _ => reference.strip_prefix('#')?,
    };
    let (digits, radix) = match code.strip_prefix('x') {
        Some(hex) => (hex, 16),
        None => (code, 10),
    };
    // A sign is no digit of a reference.
    if !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return None;
    }
    let letter = char::from_u32(u32::from_str_radix(digits, radix).ok()?)?;
    // Control characters are left to the general parser.
    (letter >= ' ' && !matches!(letter, '\u{FFFE}' | '\u{FFFF}')).then_some(letter)
}
