//! What a reader of TOML says, in words for someone who does not write programs.

use super::printable;

/// A fault of a TOML text: `message` is the reader's own.
pub fn toml_words(message: &str) -> String {
    let line = message.lines().next().unwrap_or_default();
    let quoted = line.split('`').nth(1).unwrap_or_default();
    if line.starts_with("unknown field") {
        return format!("there is no key '{}' here", quoted.escape_debug());
    }
    if line.starts_with("missing field") {
        return format!("{quoted} is missing");
    }
    if line.starts_with("duplicate") {
        return "this key appears twice".into();
    }
    if let Some((_, known)) =
        line.strip_prefix("unknown variant").and_then(|rest| rest.split_once(", expected "))
    {
        return format!("'{}' is not known here; write {}", quoted.escape_debug(), known.replace('`', ""));
    }
    match line.strip_prefix("invalid ").and_then(|rest| rest.split_once(", expected ")) {
        Some((is, wanted)) => format!("found {}, not {}", thing(is), thing(wanted)),
        None => "this line is not valid TOML".into(),
    }
}

/// A text as the reader quotes it; only the beginning of a long one.
fn text(quoted: &str) -> String {
    /// Letters.
    const SHOWN: usize = 40;
    match quoted.char_indices().nth(SHOWN) {
        Some((at, _)) => format!("the text {}...\"", printable(&quoted[..at])),
        None => format!("the text {}", printable(quoted)),
    }
}

/// A kind of value, as the reader names it.
fn thing(named: &str) -> String {
    let named = named.strip_prefix("type: ").or_else(|| named.strip_prefix("value: ")).unwrap_or(named);
    let value = named.split('`').nth(1).unwrap_or_default();
    match named.split(' ').next().unwrap_or_default() {
        "string" => text(named.trim_start_matches("string ")),
        "integer" | "floating" if !value.is_empty() => format!("the number {value}"),
        "boolean" if !value.is_empty() => value.into(),
        "map" | "struct" => "a table".into(),
        "sequence" => "a list".into(),
        "unit" => "nothing".into(),
        "length" => format!("a list of {}", named.trim_start_matches("length ")),
        "i8" | "i16" | "i32" | "i64" | "u8" | "u16" | "u32" | "u64" | "usize" | "integer" => {
            "a whole number".into()
        }
        "f32" | "f64" | "floating" => "a number".into(),
        _ => match named {
            "a string" => "a text".into(),
            "a boolean" => "true or false".into(),
            "a map" => "a table".into(),
            "a sequence" => "a list".into(),
            other => other.replace('`', "").replace("an array of length", "a list of"),
        },
    }
}
