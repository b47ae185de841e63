//! A style sheet walked by its tokens, before anything else reads it: how deep it nests, and what it would
//! fetch. Tokens know escapes and comments, so that neither hides a target.

use cssparser::{Parser, ParserInput, Token};

/// Deepest nesting of blocks and brackets; a style written by hand needs some five.
pub const DEEPEST: usize = 64;

/// Functions whose texts are targets (CSS Images 4, 2; CSS Values 5, 4).
const TARGETS: [&str; 6] = ["url", "src", "image", "image-set", "-webkit-image-set", "cross-fade"];

/// What a style sheet must not hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It fetches this.
    Fetches(String),
    /// It nests deeper than [`DEEPEST`].
    Nests,
}

/// Every fault with the byte where it stands; the target of each reference goes to `stays`, which says whether
/// it stays inside. A sheet that nests too deep is not walked to its end.
pub fn faults(sheet: &str, stays: &dyn Fn(&str) -> bool) -> Vec<(usize, Fault)> {
    let mut input = ParserInput::new(sheet);
    let mut walk = Walk { stays, found: Vec::new() };
    let _ = walk.inside(&mut Parser::new(&mut input), 0, false);
    walk.found
}

struct Walk<'a> {
    stays: &'a dyn Fn(&str) -> bool,
    found: Vec<(usize, Fault)>,
}

/// The walk ended early.
struct Ended;

impl Walk<'_> {
    fn target(&mut self, at: usize, target: &str) {
        if !(self.stays)(target) {
            self.found.push((at, Fault::Fetches(target.to_owned())));
        }
    }

    /// Walks to the end of a block. Inside a function that takes targets every text is one.
    fn inside(&mut self, parser: &mut Parser<'_, '_>, depth: usize, targets: bool) -> Result<(), Ended> {
        // Texts up to the next `;` or `{` are targets after these words.
        let mut imports = false;
        loop {
            parser.skip_whitespace();
            let at = parser.position().byte_index();
            let Ok(token) = parser.next().cloned() else { return Ok(()) };
            let mut takes_targets = targets;
            match &token {
                Token::UnquotedUrl(target) => self.target(at, target),
                Token::BadUrl(target) => self.found.push((at, Fault::Fetches(target.to_string()))),
                Token::QuotedString(text) if targets || imports => {
                    // An import fetches, wherever it leads.
                    if imports {
                        self.found.push((at, Fault::Fetches(text.to_string())));
                    } else {
                        self.target(at, text);
                    }
                }
                Token::AtKeyword(word) => imports = word.eq_ignore_ascii_case("import"),
                Token::Semicolon => imports = false,
                Token::Function(name) => {
                    takes_targets = TARGETS.iter().any(|known| name.eq_ignore_ascii_case(known));
                }
                _ => {}
            }
            let opens = matches!(
                token,
                Token::Function(_)
                    | Token::ParenthesisBlock
                    | Token::SquareBracketBlock
                    | Token::CurlyBracketBlock
            );
            if opens {
                if depth >= DEEPEST {
                    self.found.push((at, Fault::Nests));
                    return Err(Ended);
                }
                self.deeper(parser, depth + 1, takes_targets)?;
            }
        }
    }

    fn deeper(&mut self, parser: &mut Parser<'_, '_>, depth: usize, targets: bool) -> Result<(), Ended> {
        let mut ended = Ok(());
        let _ = parser.parse_nested_block(|inner| {
            ended = self.inside(inner, depth, targets);
            Ok::<(), cssparser::ParseError<'_, ()>>(())
        });
        ended
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(sheet: &str) -> Vec<(usize, Fault)> {
        faults(sheet, &|target| target.starts_with('#'))
    }

    #[test]
    fn what_fetches_is_found_however_it_is_written() {
        for (sheet, target) in [
            ("a{b:url(c)}", "c"),
            ("a{b:URL( 'c' )}", "c"),
            ("a{b:u\\72l(c)}", "c"),
            ("a{b:url(//c/d)}", "//c/d"),
            ("@import 'c';", "c"),
            ("@IMPORT url(c);", "c"),
            ("a{b:image-set('c' 1x, '#d' 2x)}", "c"),
            ("a{b:-webkit-image-set(url(c) 1x)}", "c"),
            ("a{--b:url(c)}", "c"),
            ("@media print{a{&:hover{b:url(c)}}}", "c"),
            ("/* { */ a{b:url(\"c\")}", "c"),
        ] {
            let all = found(sheet);
            let targets: Vec<&Fault> = all.iter().map(|(_, fault)| fault).collect();
            assert_eq!(targets, [&Fault::Fetches(target.to_owned())], "{sheet}");
        }
        for sheet in
            ["a{b:url(#c)}", "a{content:'url(c)'}", "/* url(c) */", "@media x{} a{b:'c'}", "@import;a{b:'c'}"]
        {
            assert_eq!(found(sheet), [], "{sheet}");
        }
    }

    #[test]
    fn nesting_is_bounded_and_the_bound_itself_is_allowed() {
        let nested = |depth: usize| format!("{}x{}", "a{".repeat(depth), "}".repeat(depth));
        assert_eq!(found(&nested(DEEPEST)), []);
        assert_eq!(found(&nested(DEEPEST + 1)), [(2 * DEEPEST + 1, Fault::Nests)]);
        assert_eq!(found(&"({[".repeat(100_000)).len(), 1);
        // Brackets in words and remarks are none.
        assert_eq!(found(&"a{b:'{{{'}/*{{{*/".repeat(100)), []);
    }

    #[test]
    fn a_fault_stands_where_it_begins() {
        assert_eq!(found("a{b:url(c)}"), [(4, Fault::Fetches("c".to_owned()))]);
    }
}
