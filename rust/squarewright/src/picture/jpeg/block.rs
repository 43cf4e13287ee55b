//! Passes over the coefficients of one block (ITU-T T.81, annexes F.2.2 and G.1.2), and notes what is odd.

use super::bits::{Bits, Exhausted};
use super::huffman::Table;

/// Why a scan cannot be followed any further.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Halt {
    /// There are no more bits.
    Out,
    /// The bits are no code.
    Nonsense,
}

impl From<Exhausted> for Halt {
    fn from(_: Exhausted) -> Self {
        Self::Out
    }
}

/// Signs that bytes were changed, where the codes themselves are possible.
#[derive(Debug, Default)]
pub(super) struct Oddity {
    pub(super) is_odd: bool,
    blanks: u32,
    last: usize,
}

impl Oddity {
    /// Notes a coefficient other than zero that begins with 32 bits of zero.
    ///
    /// Such bits stand for the same small negative number again and again: 16 of them in a row are no
    /// picture, but a blank that was written over one.
    #[cold]
    pub(super) fn note(&mut self, place: usize) {
        self.blanks = if place < self.last + 32 { self.blanks + 1 } else { 0 };
        self.last = place;
        self.is_odd |= self.blanks > 16;
    }

    /// Notes the place behind the last coefficient: decoders drop what goes beyond and go on.
    pub(super) fn note_end(&mut self, place: u32, end: u32) {
        self.is_odd |= place > end;
    }
}

/// Reads a code and gives its symbol.
fn symbol(bits: &mut Bits<'_>, table: &Table) -> Result<u32, Halt> {
    let (length, symbol) = table.look_up(bits.peek()).ok_or(Halt::Nonsense)?;
    bits.pass(length)?;
    Ok(symbol.into())
}

/// Passes the first coefficient of a block: a code that says how many bits follow, and those.
pub(super) fn pass_first(bits: &mut Bits<'_>, table: &Table, oddity: &mut Oddity) -> Result<(), Halt> {
    let ahead = bits.peek();
    let (length, symbol) = table.look_up(ahead).ok_or(Halt::Nonsense)?;
    if ahead == 0 && symbol > 0 {
        oddity.note(bits.place());
    }
    // differences have at most 11 bits, or 15 in the extended process
    if symbol > 15 { Err(Halt::Nonsense) } else { Ok(bits.pass(length + u32::from(symbol))?) }
}

/// Passes the other 63 coefficients of a block.
pub(super) fn pass_others(bits: &mut Bits<'_>, table: &Table, oddity: &mut Oddity) -> Result<(), Halt> {
    let mut place = 1;
    while place < 64 {
        let ahead = bits.peek();
        let leap = table.leap(ahead);
        if ahead != 0 && leap.bits > 0 && place + leap.places + u32::from(leap.is_end) <= 64 {
            bits.pass(leap.bits)?;
            if leap.is_end {
                return Ok(());
            }
            place += leap.places;
            continue;
        }
        let step = table.step(ahead).ok_or(Halt::Nonsense)?;
        if ahead == 0 && step.places < 64 {
            oddity.note(bits.place());
        }
        bits.pass(step.bits)?;
        if step.places == 64 {
            return Ok(());
        }
        place += step.places;
    }
    oddity.note_end(place, 64);
    Ok(())
}

/// The coefficients of a block that a progressive scan speaks of (T.81, annex G.1.2).
pub(super) struct Band<'a> {
    pub(super) range: (u32, u32),
    pub(super) known: &'a mut u64,
    pub(super) skipped: &'a mut u32,
    pub(super) oddity: &'a mut Oddity,
}

impl Band<'_> {
    /// Follows the first scan of these coefficients.
    pub(super) fn begin(self, bits: &mut Bits<'_>, table: &Table) -> Result<(), Halt> {
        if *self.skipped > 0 {
            *self.skipped -= 1;
            return Ok(());
        }
        let (mut place, last) = self.range;
        while place <= last {
            let ahead = bits.peek();
            let symbol = symbol(bits, table)?;
            let (zeros, size) = (symbol >> 4, symbol & 15);
            if ahead == 0 && size > 0 {
                self.oddity.note(bits.place());
            }
            if size == 0 && zeros < 15 {
                *self.skipped = (1 << zeros) - 1 + bits.take(zeros)?;
                return Ok(());
            }
            place += zeros;
            bits.take(size)?;
            if place <= last {
                *self.known |= u64::from(size > 0) << place;
            }
            place += 1;
        }
        self.oddity.note_end(place, last + 1);
        Ok(())
    }

    /// Follows a scan that adds a bit to these coefficients.
    pub(super) fn refine(mut self, bits: &mut Bits<'_>, table: &Table) -> Result<(), Halt> {
        let (mut place, last) = self.range;
        while *self.skipped == 0 && place <= last {
            let symbol = symbol(bits, table)?;
            let (zeros, size) = (symbol >> 4, symbol & 15);
            if size == 0 && zeros < 15 {
                *self.skipped = (1 << zeros) + bits.take(zeros)?;
                break;
            }
            if size > 1 {
                return Err(Halt::Nonsense);
            }
            bits.take(size)?;
            place = self.pass_known(bits, place, zeros)?;
            if size == 1 && place <= last {
                *self.known |= 1 << place;
            }
            place += 1;
        }
        if *self.skipped > 0 {
            self.pass_known(bits, place, u32::MAX)?;
            *self.skipped -= 1;
        }
        Ok(())
    }

    /// Passes a bit for each coefficient that is known, and `zeros` that are not; gives the next that is not.
    fn pass_known(&mut self, bits: &mut Bits<'_>, mut place: u32, mut zeros: u32) -> Result<u32, Halt> {
        while place <= self.range.1 {
            if *self.known >> place & 1 == 1 {
                bits.take(1)?;
            } else if zeros == 0 {
                break;
            } else {
                zeros -= 1;
            }
            place += 1;
        }
        Ok(place)
    }
}
