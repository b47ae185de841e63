//! Expressions in ordinary notation over quantities, evaluated as they are read.
//!
//! Inside, every value is in coherent units with the millimetre for length, so that lengths in mm stay the
//! numbers that the author wrote.

use crate::phrase::{Phrase, phrase};
use crate::quantity::{Dimension, Quantity, Unit, unit};

/// How deep parentheses and signs may nest.
const DEEPEST: usize = 60;

/// The value of an expression in inner units, and the units that occurred, in order.
pub(crate) struct Evaluated {
    pub(crate) value: f64,
    pub(crate) dimension: Dimension,
    pub(crate) units: Vec<&'static Unit>,
}

/// The coherent unit of a dimension with the millimetre for length.
pub(crate) fn inner_unit(dimension: Dimension) -> Unit {
    // Powers of a thousand above one are exact, those below are not.
    let power = |length: i8| 1000f64.powi(i32::from(length.max(0)));
    let (num, den) = (power(-dimension.length), power(dimension.length));
    Unit { symbol: "inner", aliases: &[], dimension, num, den, zero: 0.0 }
}

/// Works out `text` with these named quantities.
pub(crate) fn evaluate(text: &str, named: &[(&str, &Quantity)]) -> Result<Evaluated, Phrase> {
    let mut reader = Reader { rest: text.trim(), named, units: Vec::new(), depth: 0, divided: false };
    if reader.rest.is_empty() {
        return Err(phrase!("the expression is empty: write for example `run + 2*tail + 150 mm`"));
    }
    let term = reader.sum()?;
    if let Some(stray) = reader.peek() {
        return Err(stray_letter(stray, reader.rest));
    }
    Ok(Evaluated { value: term.value, dimension: term.dimension, units: reader.units })
}

/// A value with its dimension.
#[derive(Clone, Copy)]
struct Term {
    value: f64,
    dimension: Dimension,
}

/// Reads from the front of `rest`.
struct Reader<'a> {
    rest: &'a str,
    named: &'a [(&'a str, &'a Quantity)],
    units: Vec<&'static Unit>,
    depth: usize,
    /// Whether a stroke for division stands just before.
    divided: bool,
}

impl Reader<'_> {
    /// The next letter that is no space.
    fn peek(&mut self) -> Option<char> {
        self.rest = self.rest.trim_start();
        self.rest.chars().next()
    }

    /// Takes the next letter where it is one of these.
    fn take(&mut self, any_of: &[char]) -> Option<char> {
        let next = self.peek().filter(|letter| any_of.contains(letter))?;
        self.rest = self.rest.get(next.len_utf8()..).unwrap_or("");
        Some(next)
    }

    /// Sums and differences.
    fn sum(&mut self) -> Result<Term, Phrase> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(too_deep());
        }
        let mut left = self.product()?;
        while let Some(sign) = self.take(&['+', '-', '−']) {
            let right = self.product()?;
            same(left, right, if sign == '+' { Act::Add } else { Act::Take })?;
            left.value += if sign == '+' { right.value } else { -right.value };
        }
        self.depth -= 1;
        Ok(left)
    }

    /// Products and quotients.
    fn product(&mut self) -> Result<Term, Phrase> {
        let mut left = self.signed()?;
        while let Some(sign) = self.take(&['*', '·', '×', '/', '÷']) {
            self.divided = matches!(sign, '/' | '÷');
            let right = self.signed()?;
            left = if matches!(sign, '/' | '÷') {
                if right.value == 0.0 {
                    return Err(phrase!("the expression divides by nought"));
                }
                Term { value: left.value / right.value, dimension: left.dimension.over(right.dimension) }
            } else {
                Term { value: left.value * right.value, dimension: left.dimension.times(right.dimension) }
            };
        }
        Ok(left)
    }

    /// A sign before a power: −2² is −4.
    fn signed(&mut self) -> Result<Term, Phrase> {
        let mut negative = false;
        while let Some(sign) = self.take(&['-', '−', '+']) {
            negative ^= sign != '+';
        }
        let term = self.power()?;
        Ok(if negative { Term { value: -term.value, ..term } } else { term })
    }

    /// A power; it binds to the right.
    fn power(&mut self) -> Result<Term, Phrase> {
        let base = self.atom()?;
        if self.take(&['^']).is_none() {
            return Ok(base);
        }
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(too_deep());
        }
        let exponent = self.signed()?;
        self.depth -= 1;
        raised(base, exponent)
    }

    /// A number, a name, a function, a root or a parenthesis.
    fn atom(&mut self) -> Result<Term, Phrase> {
        let divided = std::mem::take(&mut self.divided);
        if self.take(&['(']).is_some() {
            let inner = self.sum()?;
            return self.take(&[')']).map(|_| inner).ok_or_else(not_closed);
        }
        if self.take(&['√']).is_some() {
            self.depth += 1;
            if self.depth > DEEPEST {
                return Err(too_deep());
            }
            let inner = self.atom()?;
            self.depth -= 1;
            return root(inner);
        }
        if self.take(&['π']).is_some() {
            return Ok(plain(std::f64::consts::PI));
        }
        match self.peek() {
            Some(letter) if letter.is_ascii_digit() || letter == '.' => self.number(divided),
            Some(letter) if letter.is_alphabetic() => self.name(),
            Some(letter) => Err(stray_letter(letter, self.rest)),
            None => Err(phrase!("the expression ends too early")),
        }
    }

    /// A decimal number with its unit, if it has one; or a fraction of a unit as on a rule, `3/8 in`. After
    /// another stroke, `x/3/8 in`, each division stands for itself.
    fn number(&mut self, divided: bool) -> Result<Term, Phrase> {
        let decimal =
            |rest: &str| rest.bytes().take_while(|byte| byte.is_ascii_digit() || *byte == b'.').count();
        let mut end = decimal(self.rest);
        let after = self.rest.get(end..).unwrap_or("");
        if let Some(exponent) = after.strip_prefix(['e', 'E']) {
            let unsigned = exponent.strip_prefix(['-', '+']).unwrap_or(exponent);
            let digits = unsigned.bytes().take_while(u8::is_ascii_digit).count();
            if digits > 0 {
                end += 1 + exponent.len() - unsigned.len() + digits;
            }
        }
        let (digits, rest) = self.rest.split_at_checked(end).unwrap_or((self.rest, ""));
        let mut value: f64 =
            digits.parse().map_err(|_| phrase!("`{digits}` is not a number", digits = short(digits)))?;
        self.rest = rest.trim_start();
        let whole = !divided && digits.bytes().all(|byte| byte.is_ascii_digit());
        if let Some((below, unit)) = fraction(rest).filter(|_| whole) {
            value /= below;
            self.rest = unit;
        }
        let Some((unit, taken)) = leading_unit(self.rest) else { return Ok(plain(value)) };
        self.rest = self.rest.get(taken..).unwrap_or("");
        self.quantity(&Quantity::new(value, unit))
    }

    /// A quantity in inner units. Counts are plain numbers here.
    fn quantity(&mut self, quantity: &Quantity) -> Result<Term, Phrase> {
        let unit = quantity.unit;
        if unit.zero != 0.0 {
            return Err(phrase!(
                "{unit} is a point on a scale: give temperature differences in K",
                unit = unit.symbol
            ));
        }
        let mixed = |other: &&Unit| {
            other.dimension.money != 0 && unit.dimension.money != 0 && other.symbol != unit.symbol
        };
        if let Some(other) = self.units.iter().copied().find(|other| mixed(other)) {
            return Err(phrase!(
                "{one} and {other} do not mix: there is no fixed rate",
                one = other.symbol,
                other = unit.symbol
            ));
        }
        self.units.push(unit);
        let value = unit.convert(quantity.value, &inner_unit(unit.dimension));
        Ok(Term { value, dimension: Dimension { count: 0, ..unit.dimension } })
    }

    /// A named quantity or a function.
    fn name(&mut self) -> Result<Term, Phrase> {
        let run =
            self.rest.chars().take_while(|letter| letter.is_alphanumeric() || matches!(letter, '-' | '_'));
        let length: usize = run.map(char::len_utf8).sum();
        let whole = self.rest.get(..length).unwrap_or("");
        // A hyphen joins words of a name where that name exists, and is a minus elsewhere.
        let ends =
            whole.char_indices().filter(|(_, letter)| *letter == '-').map(|(at, _)| at).chain([length]);
        let mut known: Option<(usize, Known<'_>)> = None;
        for end in ends {
            let part = whole.get(..end).unwrap_or("");
            let quantity = self
                .named
                .iter()
                .find(|(name, _)| *name == part)
                .map(|(_, quantity)| Known::Quantity(quantity));
            if let Some(found) = quantity.or_else(|| Function::find(part).map(Known::Function)) {
                known = Some((end, found));
            }
        }
        let Some((end, known)) = known else {
            return Err(phrase!(
                "`{name}` is not a name that was given: add it as a quantity",
                name = short(whole)
            ));
        };
        self.rest = self.rest.get(end..).unwrap_or("");
        match known {
            Known::Quantity(quantity) => self.quantity(quantity),
            Known::Function(Function::Pi) => Ok(plain(std::f64::consts::PI)),
            Known::Function(function) => {
                let arguments = self.arguments()?;
                function.of(&arguments)
            }
        }
    }

    /// The arguments of a function in parentheses.
    fn arguments(&mut self) -> Result<Vec<Term>, Phrase> {
        if self.take(&['(']).is_none() {
            return Err(phrase!("a function wants its arguments in parentheses"));
        }
        let mut arguments = vec![self.sum()?];
        while self.take(&[',', ';']).is_some() {
            arguments.push(self.sum()?);
        }
        self.take(&[')']).map(|_| arguments).ok_or_else(not_closed)
    }
}

/// What a name stands for.
enum Known<'a> {
    Quantity(&'a Quantity),
    Function(Function),
}

/// The functions of the notation.
#[derive(Clone, Copy)]
enum Function {
    Least,
    Greatest,
    Root,
    RoundUp,
    Pi,
}

impl Function {
    /// The function with this name.
    fn find(name: &str) -> Option<Function> {
        match name {
            "min" => Some(Function::Least),
            "max" => Some(Function::Greatest),
            "sqrt" => Some(Function::Root),
            "round-up" => Some(Function::RoundUp),
            "pi" => Some(Function::Pi),
            _ => None,
        }
    }

    /// Its value.
    fn of(self, arguments: &[Term]) -> Result<Term, Phrase> {
        match (self, arguments) {
            (Function::Root, [one]) => root(*one),
            (Function::RoundUp, [one]) if one.dimension == Dimension::NUMBER => {
                Ok(plain((one.value - 1e-9).ceil()))
            }
            (Function::RoundUp, [_]) => {
                Err(phrase!("`round-up` of a quantity wants a step: `round-up(x, 5 mm)`"))
            }
            (Function::RoundUp, [one, step]) => {
                same(*one, *step, Act::RoundUp)?;
                if step.value <= 0.0 {
                    return Err(phrase!("the step of `round-up` must be more than nought"));
                }
                Ok(Term { value: (one.value / step.value - 1e-9).ceil() * step.value, ..*one })
            }
            (Function::Least | Function::Greatest, [first, rest @ ..]) => {
                let mut best = *first;
                for other in rest {
                    same(best, *other, Act::Compare)?;
                    let better = if matches!(self, Function::Least) {
                        other.value < best.value
                    } else {
                        other.value > best.value
                    };
                    if better {
                        best = *other;
                    }
                }
                Ok(best)
            }
            _ => Err(phrase!("a function has the wrong number of arguments")),
        }
    }
}

/// A plain number.
fn plain(value: f64) -> Term {
    Term { value, dimension: Dimension::NUMBER }
}

/// What two terms are to do with each other.
#[derive(Clone, Copy)]
enum Act {
    Add,
    Take,
    RoundUp,
    Compare,
}

/// Refuses two terms of different dimension.
fn same(left: Term, right: Term, act: Act) -> Result<(), Phrase> {
    if left.dimension == right.dimension {
        return Ok(());
    }
    let (one, other) = (left.dimension.with_article(), right.dimension.with_article());
    Err(match act {
        Act::Add => phrase!("{other} cannot be added to {one}", other = other, one = one),
        Act::Take => phrase!("{other} cannot be taken from {one}", other = other, one = one),
        Act::RoundUp => {
            phrase!("{one} cannot be rounded up in steps of {other}", one = one, other = other)
        }
        Act::Compare => phrase!("{other} cannot be compared with {one}", other = other, one = one),
    })
}

fn too_deep() -> Phrase {
    phrase!("the expression is nested deeper than {most} levels", most = DEEPEST)
}

fn not_closed() -> Phrase {
    phrase!("a parenthesis is not closed")
}

/// A letter that nothing can be made of where it stands.
fn stray_letter(letter: char, rest: &str) -> Phrase {
    if letter.is_alphanumeric() {
        return phrase!("a sign such as `+` or `*` is missing before `{rest}`", rest = short(rest));
    }
    phrase!(
        "`{letter}` is not expected where `{rest}` begins",
        letter = letter.to_string(),
        rest = short(rest)
    )
}

/// The square root, where the dimension has one.
fn root(term: Term) -> Result<Term, Phrase> {
    if term.value < 0.0 {
        return Err(phrase!("the expression takes the root of a negative value"));
    }
    let dimension = term
        .dimension
        .root()
        .ok_or_else(|| phrase!("{what} has no square root", what = term.dimension.with_article()))?;
    Ok(Term { value: term.value.sqrt(), dimension })
}

/// A power: whole exponents for quantities, any for plain numbers.
fn raised(base: Term, exponent: Term) -> Result<Term, Phrase> {
    if exponent.dimension != Dimension::NUMBER {
        return Err(phrase!("an exponent must be a plain number"));
    }
    let whole = exponent.value.fract() == 0.0 && exponent.value.abs() <= 20.0;
    if base.dimension == Dimension::NUMBER {
        let value = base.value.powf(exponent.value);
        return if value.is_nan() {
            Err(phrase!("that power is not a real number"))
        } else {
            Ok(plain(value))
        };
    }
    if !whole {
        return Err(phrase!("a quantity takes whole exponents from −20 to 20; use √ for a root"));
    }
    let exponent = exponent.value as i8;
    let dimension = base.dimension.power(exponent);
    Ok(Term { value: base.value.powi(i32::from(exponent)), dimension })
}

/// The lower half of a fraction that a unit follows, `/8 in`, and what comes after it. Both halves are whole
/// and no space stands between them and the stroke.
fn fraction(text: &str) -> Option<(f64, &str)> {
    let below = text.strip_prefix('/')?;
    let digits = below.bytes().take_while(u8::is_ascii_digit).count();
    let (below, unit) = below.split_at_checked(digits)?;
    let (below, unit) = (below.parse::<u32>().ok()?, unit.trim_start());
    leading_unit(unit)?;
    (below > 0).then_some((f64::from(below), unit))
}

/// The longest unit spelling at the start of a text, and its length in bytes.
fn leading_unit(text: &str) -> Option<(&'static Unit, usize)> {
    let part = |letter: char| {
        letter.is_alphanumeric()
            || matches!(letter, '·' | '.' | '/' | '^' | '²' | '³' | '%' | '°' | '€' | '$' | '£')
    };
    let ends: Vec<usize> = text
        .char_indices()
        .take(32)
        .take_while(|(_, letter)| part(*letter))
        .map(|(at, letter)| at + letter.len_utf8())
        .collect();
    ends.into_iter().rev().find_map(|end| {
        let next = text.get(end..).and_then(|rest| rest.chars().next());
        if next.is_some_and(char::is_alphanumeric) {
            return None;
        }
        unit(text.get(..end)?).filter(|unit| unit.symbol != "1").map(|unit| (unit, end))
    })
}

/// The start of a text for a message.
fn short(text: &str) -> String {
    text.chars().take(30).collect()
}

#[cfg(test)]
mod tests;
