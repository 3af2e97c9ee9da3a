//! Which of the names there are a mistyped one was meant to be.

/// From this likeness of spelling on (Jaro-Winkler) a name was likely meant: two letters changed places, or one of five
/// is wrong.
const LIKELY: f64 = 0.8;

/// The name most like a word, where one is like it; capitals do not count.
pub fn likely<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let rated = known.into_iter().map(|name| (strsim::jaro_winkler(&name.to_lowercase(), &word), name));
    let best = rated.max_by(|one, other| one.0.total_cmp(&other.0))?;
    (best.0 >= LIKELY).then_some(best.1)
}

/// ` (did you mean crayon?)`, or nothing where no name is like the word.
pub fn did_you_mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    likely(word, known).map_or(String::new(), |name| format!(" (did you mean {name}?)"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_another_word_finds_none() {
        let names = ["shapes", "marker", "crayon", "shade"];
        assert_eq!(likely("crayn", names), Some("crayon"));
        assert_eq!(likely("Shaeps", names), Some("shapes"));
        assert_eq!(likely("oil", names), None);
        assert_eq!(did_you_mean("oil", names), "");
    }
}
