//! Walks through the packed pixels of a JPEG without unpacking them (ITU-T T.81, annexes F.2 and G.1).
//!
//! Every code is looked up and passed over, so that three things come to light which decoders cover up: pixels
//! that end too soon, codes that do not exist, and bytes left over where all pixels are read. Each of them
//! follows when bytes amid the codes were changed, as the codes after them no longer begin where they did.

use super::bits::Bits;
use super::block::{Band, Halt, Oddity, pass_first, pass_others};
use super::frame::Frame;
use super::huffman::Table;
use super::segment::{HUFFMAN, RESTART, SCAN, Segment, Segments};
use crate::fault::{Result, Watch};

/// Scans in one picture, at most: writers use ten or so.
pub(super) const SCANS: usize = 100;

/// What a walk has found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Arrival {
    /// Rows of pixels, from the top, that are there before the first scan gives out.
    pub(super) rows: u32,
    /// Whether a scan ran out of bits.
    pub(super) ran_out: bool,
    /// Whether every scan keeps to its code and fills its place.
    pub(super) is_sound: bool,
}

/// Walks through all scans.
pub(super) fn walk(bytes: &[u8], watch: &dyn Watch) -> Result<Arrival> {
    let mut walker = Walker::default();
    for segment in Segments::new(bytes) {
        match segment.marker {
            SCAN if walker.scans == SCANS => break,
            SCAN => {
                watch.check(0.0)?;
                walker.take_scan(&segment);
            }
            HUFFMAN => walker.take_tables(segment.body),
            RESTART => walker.restart = segment.body.first_chunk().map_or(0, |&two| u16::from_be_bytes(two)),
            _ if segment.is_frame() && walker.frame.is_none() => walker.take_frame(&segment),
            _ => {}
        }
    }
    Ok(Arrival {
        rows: walker.rows.unwrap_or(0),
        ran_out: walker.ran_out,
        is_sound: walker.rows.is_some() && walker.is_sound,
    })
}

/// What is known between two scans.
#[derive(Debug)]
struct Walker {
    frame: Option<Frame>,
    /// The tables of first coefficients, then those of the others.
    tables: [[Option<Table>; 4]; 2],
    restart: u16,
    /// For each component and block, which coefficients are not zero: later scans skip over them.
    known: Vec<Vec<u64>>,
    scans: usize,
    rows: Option<u32>,
    ran_out: bool,
    is_sound: bool,
}

impl Default for Walker {
    fn default() -> Self {
        Self {
            frame: None,
            tables: Default::default(),
            restart: 0,
            known: Vec::new(),
            scans: 0,
            rows: None,
            ran_out: false,
            is_sound: true,
        }
    }
}

impl Walker {
    fn take_frame(&mut self, segment: &Segment<'_>) {
        let Some(frame) = Frame::read(segment).filter(Frame::is_possible) else {
            self.is_sound = false;
            return;
        };
        if frame.is_progressive() {
            let (across, down) = frame.units();
            let blocks = |part: &super::frame::Part| across * part.across * down * part.down;
            self.known = frame.parts.iter().map(|part| vec![0; blocks(part) as usize]).collect();
        }
        self.frame = Some(frame);
    }

    /// Takes the tables of one segment: a byte of class and number, 16 counts, then the symbols.
    fn take_tables(&mut self, mut body: &[u8]) {
        while let Some((&[head, ref counts @ ..], rest)) = body.split_first_chunk::<17>() {
            let length = counts.iter().map(|&count| usize::from(count)).sum();
            let Some((symbols, rest)) = rest.split_at_checked(length) else { return };
            let class = self.tables.get_mut(usize::from(head >> 4));
            if let Some(slot) = class.and_then(|class| class.get_mut(usize::from(head & 15))) {
                *slot = Table::new(counts, symbols);
            }
            body = rest;
        }
    }

    fn take_scan(&mut self, segment: &Segment<'_>) {
        self.scans += 1;
        let scan = self.frame.as_ref().and_then(|frame| Scan::read(segment.body, frame));
        let (Some(scan), Some(frame)) = (scan, &self.frame) else {
            self.is_sound = false;
            return;
        };
        let units = scan.units(frame);
        let (tables, known) = (&self.tables, &mut self.known);
        let mut run = Run { scan: &scan, frame, tables, known, skipped: 0, oddity: Oddity::default() };
        let outcome = run.through(segment.packed, units, u32::from(self.restart));
        let rows = outcome.units / units.0 * frame.rows_of_unit(scan.alone());
        let is_all = outcome.units == units.0 * units.1;
        self.rows.get_or_insert(if is_all { frame.height } else { rows.min(frame.height) });
        self.ran_out |= outcome.halt == Some(Halt::Out);
        self.is_sound &= outcome.halt.is_none() && !outcome.has_rest && !run.oddity.is_odd;
    }
}

/// One component of a scan.
#[derive(Debug)]
struct Share {
    part: usize,
    /// The numbers of its table of first coefficients and that of the others.
    tables: [usize; 2],
    /// Its blocks in one unit of the scan, across and down.
    blocks: (u32, u32),
    /// Its blocks in a row of the whole frame.
    stride: u32,
}

/// A scan header (T.81, figure B.4).
#[derive(Debug)]
struct Scan {
    parts: Vec<Share>,
    first: u32,
    last: u32,
    is_finer: bool,
}

impl Scan {
    fn read(body: &[u8], frame: &Frame) -> Option<Self> {
        let (&count, rest) = body.split_first()?;
        let (parts, rest) = rest.split_at_checked(usize::from(count) * 2)?;
        let &[first, last, steps] = rest.first_chunk::<3>()?;
        let across = frame.units().0;
        let part = |&[name, tables]: &[u8; 2]| {
            let part = frame.parts.iter().position(|part| part.name == name)?;
            let (wide, high) = (frame.parts[part].across, frame.parts[part].down);
            let blocks = if count == 1 { (1, 1) } else { (wide, high) };
            let tables = [usize::from(tables >> 4), usize::from(tables & 15)];
            Some(Share { part, tables, blocks, stride: across * wide })
        };
        let parts = parts.as_chunks().0.iter().map(part).collect::<Option<Vec<_>>>()?;
        let is_progressive = frame.is_progressive();
        let (first, last) = if is_progressive { (first.into(), last.into()) } else { (0, 63) };
        let is_possible = !parts.is_empty() && first <= last && last < 64;
        let scan = Self { parts, first, last, is_finer: is_progressive && steps >> 4 > 0 };
        (is_possible && (!is_progressive || first == 0 || scan.parts.len() == 1)).then_some(scan)
    }

    /// Gives the component of a scan of one.
    fn alone(&self) -> Option<usize> {
        if let [share] = &self.parts[..] { Some(share.part) } else { None }
    }

    /// Gives the units across and down.
    fn units(&self, frame: &Frame) -> (u32, u32) {
        self.alone().map_or_else(|| frame.units(), |part| frame.blocks(part))
    }
}

/// How far a scan could be followed.
#[derive(Debug)]
struct Outcome {
    /// Units before the first halt.
    units: u32,
    halt: Option<Halt>,
    /// Whether bytes were left over.
    has_rest: bool,
}

/// One pass through a scan.
struct Run<'a> {
    scan: &'a Scan,
    frame: &'a Frame,
    tables: &'a [[Option<Table>; 4]; 2],
    known: &'a mut [Vec<u64>],
    /// Blocks that an earlier code has said to hold nothing more.
    skipped: u32,
    oddity: Oddity,
}

impl<'a> Run<'a> {
    /// Follows the units across and down; after a halt the walk goes on at the next restart marker.
    fn through(&mut self, packed: &[u8], (across, down): (u32, u32), restart: u32) -> Outcome {
        let total = across * down;
        let length = if restart == 0 { total } else { restart };
        let mut bits = Bits::new(packed);
        let mut outcome = Outcome { units: total, halt: None, has_rest: false };
        let mut start = 0;
        while start < total {
            let end = (start + length).min(total);
            self.skipped = 0;
            let halted = (start..end).find_map(|unit| {
                let (y, x) = (unit / across, unit % across);
                self.unit(&mut bits, x, y).err().map(|halt| (unit, halt))
            });
            match halted {
                Some((unit, halt)) => {
                    outcome.units = outcome.units.min(unit);
                    outcome.halt.get_or_insert(halt);
                }
                None => outcome.has_rest |= !bits.is_spent(),
            }
            start = end;
            if start < total && bits.restart().is_none() {
                outcome.units = outcome.units.min(start);
                outcome.halt.get_or_insert(Halt::Out);
                break;
            }
        }
        outcome
    }

    /// Follows one unit: a block when the scan holds one component, or all blocks of all components.
    fn unit(&mut self, bits: &mut Bits<'_>, x: u32, y: u32) -> Result<(), Halt> {
        for share in &self.scan.parts {
            let (wide, high) = share.blocks;
            for block in 0..wide * high {
                if self.frame.is_progressive() {
                    let at = (y * high + block / wide) * share.stride + x * wide + block % wide;
                    self.progressive_block(bits, share, at as usize)?;
                } else {
                    pass_first(bits, self.table(share, 0)?, &mut self.oddity)?;
                    pass_others(bits, self.table(share, 1)?, &mut self.oddity)?;
                }
            }
        }
        Ok(())
    }

    fn progressive_block(&mut self, bits: &mut Bits<'_>, share: &Share, at: usize) -> Result<(), Halt> {
        match (self.scan.first, self.scan.is_finer) {
            (0, true) => return Ok(bits.take(1).map(drop)?),
            (0, false) => return pass_first(bits, self.table(share, 0)?, &mut self.oddity),
            _ => {}
        }
        let table = self.table(share, 1)?;
        let known = self.known[share.part].get_mut(at).ok_or(Halt::Nonsense)?;
        let range = (self.scan.first, self.scan.last);
        let band = Band { range, known, skipped: &mut self.skipped, oddity: &mut self.oddity };
        if self.scan.is_finer { band.refine(bits, table) } else { band.begin(bits, table) }
    }

    fn table(&self, share: &Share, class: usize) -> Result<&'a Table, Halt> {
        self.tables[class].get(share.tables[class]).and_then(Option::as_ref).ok_or(Halt::Nonsense)
    }
}
