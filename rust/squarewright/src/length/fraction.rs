//! Lengths as people write and read them: `3 5/16 in`, `0.1875 in`, `8 mm`, `1 ft 6 in`.

use super::{Length, Ratio};
use crate::fault::{Error, Result};

/// The finest fraction of an inch that a ruler is cut to.
const FINEST: i64 = 128;
/// The largest denominator that is kept, so that exact arithmetic never overflows.
const FINEST_DIVISION: i128 = 1_000_000;

/// Reads a length with its unit, exactly.
///
/// Fractions, mixed numbers, decimals (point or comma), typographic fractions and sums of terms are
/// understood; a bare number is not, because it does not say what it counts.
///
/// # Errors
/// [`Error::Length`] with the text as given.
pub fn parse(text: &str, field: &'static str) -> Result<Ratio> {
    let bad = || Error::Length { field, got: format!("{text:?}") };
    let tokens = tokens(text).ok_or_else(bad)?;
    let (negative, tokens) = match tokens.split_first() {
        Some((Token::Minus, rest)) => (true, rest),
        _ => (false, tokens.as_slice()),
    };
    let sum = sum_of_terms(tokens).ok_or_else(bad)?;
    if sum.denominator() > FINEST_DIVISION {
        return Err(Error::Length { field, got: format!("{text:?}, finer than this can hold") });
    }
    let longest = Length::LONGEST.ratio();
    if sum > longest {
        return Err(Error::Length { field, got: format!("{text:?}, longer than {longest}") });
    }
    Ok(if negative { Ratio::new(0, 1) - sum } else { sum })
}

#[derive(Clone, Copy, PartialEq)]
enum Token {
    Number { digits: i128, scale: i128 },
    Slash,
    Minus,
    Unit(Length),
}

fn tokens(text: &str) -> Option<Vec<Token>> {
    let mut found = Vec::new();
    let mut rest = text.trim();
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '0'..='9' | '.' | ',' => {
                let end =
                    rest.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(rest.len());
                found.push(number(&rest[..end])?);
                end
            }
            '/' | '\u{2044}' => push(&mut found, Token::Slash, first),
            '-' | '\u{2212}' if found.is_empty() => push(&mut found, Token::Minus, first),
            '-' | ' ' | '\t' | '\u{a0}' => first.len_utf8(), // "1-1/2 in" is how a drawing writes it
            _ => {
                if let Some((top, bottom)) = typographic(first) {
                    let whole = |digits| Token::Number { digits, scale: 1 };
                    found.extend([whole(top), Token::Slash, whole(bottom)]);
                    first.len_utf8()
                } else {
                    let (unit, length) = unit(rest)?;
                    found.push(Token::Unit(unit));
                    length
                }
            }
        };
        rest = &rest[length..];
    }
    Some(found)
}

fn push(found: &mut Vec<Token>, token: Token, character: char) -> usize {
    found.push(token);
    character.len_utf8()
}

/// Reads decimal digits; a comma counts as the decimal point unless it could be a thousands mark.
fn number(text: &str) -> Option<Token> {
    let (whole, part) = match text.split_once(['.', ',']) {
        None => (text, ""),
        Some((_, part)) if text.contains(',') && part.len() == 3 => return None,
        Some((whole, part)) => (whole, part),
    };
    let clean = |digits: &str| digits.len() <= 15 && digits.bytes().all(|byte| byte.is_ascii_digit());
    if !clean(whole) || !clean(part) || whole.len() + part.len() == 0 {
        return None;
    }
    let scale = 10_i128.pow(u32::try_from(part.len()).ok()?);
    let read = |digits: &str| if digits.is_empty() { Some(0) } else { digits.parse::<i128>().ok() };
    Some(Token::Number { digits: read(whole)? * scale + read(part)?, scale })
}

fn typographic(character: char) -> Option<(i128, i128)> {
    Some(match character {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        _ => return None,
    })
}

/// Reads a unit at the start of `text`, longest spelling first; gives it with its length in bytes.
fn unit(text: &str) -> Option<(Length, usize)> {
    const FOOT: Length = Length::inches(12, 1);
    const CM: Length = Length::hundredths_mm(1000);
    const M: Length = Length::hundredths_mm(100_000);
    const UNITS: [(&str, Length); 17] = [
        ("millimetres", Length::MM),
        ("millimeters", Length::MM),
        ("inches", Length::INCH),
        ("inch", Length::INCH),
        ("feet", FOOT),
        ("foot", FOOT),
        ("in.", Length::INCH),
        ("in", Length::INCH),
        ("ft", FOOT),
        ("mm", Length::MM),
        ("cm", CM),
        ("m", M),
        ("\"", Length::INCH),
        ("″", Length::INCH),
        ("”", Length::INCH),
        ("'", FOOT),
        ("′", FOOT),
    ];
    let lower = text.to_ascii_lowercase();
    let (spelling, unit) = UNITS.into_iter().find(|(spelling, _)| lower.starts_with(spelling))?;
    let after = lower[spelling.len()..].chars().next();
    (!after.is_some_and(char::is_alphabetic)).then_some((unit, spelling.len()))
}

fn sum_of_terms(mut tokens: &[Token]) -> Option<Ratio> {
    let mut sum: Option<Ratio> = None;
    while !tokens.is_empty() {
        let end = tokens.iter().position(|token| matches!(token, Token::Unit(_)))?;
        let Token::Unit(unit) = tokens[end] else { return None };
        let (top, bottom) = quantity(&tokens[..end])?;
        let term = Ratio::new(top.checked_mul(i128::from(unit.units()))?, bottom);
        sum = Some(sum.map_or(term, |sum| sum + term));
        tokens = &tokens[end + 1..];
    }
    sum
}

/// Reads `a`, `a/b` or `a b/c` as a fraction.
fn quantity(tokens: &[Token]) -> Option<(i128, i128)> {
    use Token::{Number, Slash};
    match *tokens {
        [Number { digits, scale }] => Some((digits, scale)),
        [Number { digits: top, scale: 1 }, Slash, Number { digits: bottom, scale: 1 }] => {
            (bottom > 0).then_some((top, bottom))
        }
        [Number { digits: whole, scale: 1 }, ref rest @ ..] if rest.len() == 3 => {
            let (top, bottom) = quantity(rest)?;
            (top < bottom).then(|| (whole * bottom + top, bottom))
        }
        _ => None,
    }
}

/// Writes a length so that reading it back gives the same length.
///
/// Inch fractions down to 1/128 come first, then hundredths of a millimetre, then any inch fraction.
pub(super) fn exact(ratio: Ratio) -> String {
    let hundredth = Length::hundredths_mm(1).units();
    match ratio.whole() {
        Some(length) if length.units() % (Length::INCH.units() / FINEST) == 0 => inches(ratio),
        Some(length) if length.units() % hundredth == 0 => hundredths(length.units() / hundredth),
        _ => inches(ratio),
    }
}

/// Writes inches as a mixed number: `3 5/16 in`.
pub(super) fn inches(ratio: Ratio) -> String {
    let in_inches = Ratio::new(ratio.numerator(), ratio.denominator() * i128::from(Length::INCH.units()));
    let sign = if in_inches.numerator() < 0 { "-" } else { "" };
    let (top, bottom) = (in_inches.numerator().abs(), in_inches.denominator());
    let (whole, part) = (top / bottom, top % bottom);
    match (whole, part) {
        (_, 0) => format!("{sign}{whole} in"),
        (0, _) => format!("{sign}{part}/{bottom} in"),
        _ => format!("{sign}{whole} {part}/{bottom} in"),
    }
}

/// Writes a count of hundredths of a millimetre: `8 mm`, `4.76 mm`.
pub(super) fn hundredths(count: i64) -> String {
    let sign = if count < 0 { "-" } else { "" };
    let (whole, part) = (count.abs() / 100, count.abs() % 100);
    let text = format!("{sign}{whole}.{part:02}");
    format!("{} mm", text.trim_end_matches('0').trim_end_matches('.'))
}
