//! Huffman tables of a JPEG (ITU-T T.81, annexes C and F.2.2.3).

/// Bits that are looked up at once; longer codes are rare.
const QUICK: u32 = 11;

/// What follows from the bits ahead, where they stand for coefficients.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Step {
    /// The bits of the code and of the coefficient behind it.
    pub(super) bits: u32,
    /// The places that it moves on: 64 where a block ends.
    pub(super) places: u32,
}

impl Step {
    /// Reads a symbol: zeros to skip in the upper half, bits in the lower (T.81, annex F.1.2.2).
    fn new(length: u32, symbol: u8) -> Self {
        let (zeros, size) = (u32::from(symbol >> 4), u32::from(symbol & 15));
        let is_end = size == 0 && zeros < 15;
        Self { bits: length + size, places: if is_end { 64 } else { zeros + 1 } }
    }
}

/// As many steps at once as the bits that are looked up tell of, at least one where it is not zero bits long.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Leap {
    pub(super) bits: u32,
    /// The places that it moves on before the block ends, if it does.
    pub(super) places: u32,
    /// Whether the last of its codes ends the block.
    pub(super) is_end: bool,
}

impl Leap {
    fn new(word: u16) -> Self {
        let word = u32::from(word);
        Self { bits: word & 63, places: word >> 6 & 511, is_end: word >> 15 == 1 }
    }

    fn word(self) -> u32 {
        u32::from(self.is_end) << 15 | self.places << 6 | self.bits
    }
}

/// A table of codes of 1 to 16 bits and the symbols they stand for.
#[derive(Debug)]
pub(super) struct Table {
    /// For each beginning: the length of the code times 256, plus the symbol; 0 where the code is longer.
    quick: Box<[u16; 1 << QUICK]>,
    /// For each beginning the step: its places times 64, plus its bits; 0 where the code is longer.
    steps: Box<[u16; 1 << QUICK]>,
    /// For each beginning its [`Leap`].
    leaps: Box<[u16; 1 << QUICK]>,
    /// For each length: one above its last code, aligned to 16 bits, and the place of its first symbol less
    /// its first code.
    lengths: [(u32, i32); 17],
    symbols: Vec<u8>,
}

impl Table {
    /// Builds a table from the number of codes of each length and the symbols in order.
    ///
    /// Gives nothing when there are more codes than a length has room for.
    pub(super) fn new(counts: &[u8; 16], symbols: &[u8]) -> Option<Self> {
        let [quick, steps, leaps] = std::array::from_fn(|_| Box::new([0; 1 << QUICK]));
        let mut table = Self { quick, steps, leaps, lengths: [(0, 0); 17], symbols: symbols.into() };
        let (mut code, mut place) = (0_u32, 0_usize);
        for (length, &count) in (1..).zip(counts) {
            table.lengths[length as usize].1 = i32::try_from(place).ok()? - i32::try_from(code).ok()?;
            for &symbol in symbols.get(place..place + usize::from(count))? {
                table.note(code, length, symbol);
                code += 1;
            }
            if code > 1 << length {
                return None;
            }
            place += usize::from(count);
            table.lengths[length as usize].0 = code << (16 - length);
            code <<= 1;
        }
        for beginning in 0..1 << QUICK {
            table.leaps[beginning as usize] =
                u16::try_from(table.leap_from(beginning).word()).unwrap_or_default();
        }
        Some(table)
    }

    /// Takes codes, with the coefficients behind them, as long as they are known as a whole; of the first the
    /// code is enough. It stops before bits of zero alone, which may be the start of a blank.
    fn leap_from(&self, beginning: u32) -> Leap {
        let mut leap = Leap { bits: 0, places: 0, is_end: false };
        while leap.bits < QUICK && !leap.is_end {
            let ahead = beginning << leap.bits & ((1 << QUICK) - 1);
            let word = u32::from(self.steps[ahead as usize]);
            let (bits, places) = (word & 63, word >> 6);
            let is_known = leap.bits == 0 || leap.bits + bits <= QUICK && ahead != 0;
            if word == 0 || !is_known {
                break;
            }
            leap.bits += bits;
            leap.is_end = places == 64;
            leap.places += if leap.is_end { 0 } else { places };
        }
        leap
    }

    /// Gives the leap that the 32 bits begin with.
    pub(super) fn leap(&self, bits: u32) -> Leap {
        Leap::new(self.leaps[(bits >> (32 - QUICK)) as usize])
    }

    fn note(&mut self, code: u32, length: u32, symbol: u8) {
        let Some(free) = QUICK.checked_sub(length) else { return };
        let first = (code << free) as usize;
        let beginnings = first..first + (1 << free);
        let step = Step::new(length, symbol);
        for (table, word) in [
            (&mut self.quick, length << 8 | u32::from(symbol)),
            (&mut self.steps, step.places << 6 | step.bits),
        ] {
            if let Some(words) = table.get_mut(beginnings.clone()) {
                words.fill(u16::try_from(word).unwrap_or_default());
            }
        }
    }

    /// Gives the step that the 32 bits begin with.
    pub(super) fn step(&self, bits: u32) -> Option<Step> {
        let word = u32::from(self.steps[(bits >> (32 - QUICK)) as usize]);
        if word != 0 {
            return Some(Step { bits: word & 63, places: word >> 6 });
        }
        self.look_up(bits).map(|(length, symbol)| Step::new(length, symbol))
    }

    /// Gives the length and the symbol of the code that the 32 bits begin with.
    pub(super) fn look_up(&self, bits: u32) -> Option<(u32, u8)> {
        let word = self.quick[(bits >> (32 - QUICK)) as usize];
        if word != 0 {
            return Some((u32::from(word >> 8), word.to_le_bytes()[0]));
        }
        let code = bits >> 16;
        (1..=16).find(|&length| code < self.lengths[length as usize].0).and_then(|length| {
            let place = i64::from(code >> (16 - length)) + i64::from(self.lengths[length as usize].1);
            Some((length, *self.symbols.get(usize::try_from(place).ok()?)?))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counts of the table for coefficients of brightness (T.81, table K.5).
    const COUNTS: [u8; 16] = [0, 2, 1, 3, 3, 2, 4, 3, 5, 5, 4, 4, 0, 0, 1, 125];

    #[test]
    fn a_leap_goes_as_far_as_the_steps_it_is_made_of() {
        // The first symbols are those of the table; the others may be any.
        let first =
            [0x01, 0x02, 0x03, 0x00, 0x04, 0x11, 0x05, 0x12, 0x21, 0x31, 0x41, 0x06, 0x13, 0x51, 0x61];
        let symbols: Vec<u8> = first.into_iter().chain(0x07..).take(162).collect();
        let table = Table::new(&COUNTS, &symbols).unwrap();
        let (mut chance, mut longest) = (1_u32, 0);
        for _ in 0..20_000 {
            chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let (ahead, leap) = (chance.rotate_left(7), table.leap(chance.rotate_left(7)));
            let (mut bits, mut places, mut is_end, mut count) = (0, 0, false, 0);
            while bits < leap.bits {
                let step = table.step(ahead << bits).unwrap();
                (bits, count) = (bits + step.bits, count + 1);
                is_end = step.places == 64;
                places += if is_end { 0 } else { step.places };
            }
            assert_eq!(leap, Leap { bits, places, is_end }, "{ahead:b}");
            longest = longest.max(count);
        }
        assert_eq!(longest, 3, "three of the shortest, of three bits each, fit in eleven");
    }
}
