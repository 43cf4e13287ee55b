//! Parts of the figure that stand apart are separated first, by straight cuts from edge to edge.

use super::board::{Bounds, Mask, Point};

/// A rectangle of board: left, top, right, bottom.
pub(super) type Sheet = [i64; 4];

/// Some parts that no straight level or upright cut can separate, on the sheet that is left for them.
#[derive(Debug)]
pub(super) struct Group {
    pub(super) sheet: Sheet,
    /// Labels, ascending.
    pub(super) members: Vec<usize>,
    pub(super) bounds: Bounds,
}

#[derive(Debug, Clone, Copy)]
struct Member {
    label: usize,
    bounds: Bounds,
}

/// Separates the parts of a mask; gives the groups and the cuts in their order.
pub(super) fn separate(mask: &Mask, parts: &[Option<Bounds>], sheet: Sheet) -> (Vec<Group>, Vec<[Point; 2]>) {
    let member = |(label, bounds): (usize, &Option<Bounds>)| bounds.map(|bounds| Member { label, bounds });
    let members: Vec<Member> = parts.iter().enumerate().filter_map(member).collect();
    let (mut groups, mut cuts) = (Vec::new(), Vec::new());
    let mut open = vec![(sheet, members)];
    while let Some((sheet, members)) = open.pop() {
        let upright = bands(&members, 0);
        let level = bands(&members, 1);
        let (width, height) = (sheet[2] - sheet[0], sheet[3] - sheet[1]);
        // The shorter cuts first.
        let axis = usize::from(upright.len() == 1 || (level.len() > 1 && width < height));
        let bands = if axis == 0 { upright } else { level };
        if bands.len() == 1 {
            groups.extend(group(sheet, members));
            continue;
        }
        let lines = if axis == 0 { &mask.xs } else { &mask.ys };
        let mut rest = sheet;
        let mut found = Vec::new();
        for (number, band) in bands.iter().enumerate() {
            let mut own = rest;
            if number + 1 < bands.len() {
                let end = band.iter().map(|member| member.bounds[axis + 2]).max().unwrap_or(0);
                own[axis + 2] = lines[end];
                rest[axis] = lines[end];
                let (from, to) = if axis == 0 {
                    ((lines[end], own[1]), (lines[end], own[3]))
                } else {
                    ((own[0], lines[end]), (own[2], lines[end]))
                };
                cuts.push([from, to]);
            }
            found.push((own, band.clone()));
        }
        open.extend(found.into_iter().rev());
    }
    (groups, cuts)
}

/// Sorts members into bands along an axis, so that no member reaches from one band into another.
fn bands(members: &[Member], axis: usize) -> Vec<Vec<Member>> {
    let mut sorted = members.to_vec();
    sorted.sort_by_key(|member| (member.bounds[axis], member.label));
    let mut bands: Vec<Vec<Member>> = Vec::new();
    let mut reach = 0;
    for member in sorted {
        match bands.last_mut() {
            Some(band) if member.bounds[axis] < reach => band.push(member),
            _ => bands.push(vec![member]),
        }
        reach = reach.max(member.bounds[axis + 2]);
    }
    bands
}

fn group(sheet: Sheet, members: Vec<Member>) -> Option<Group> {
    let bounds = members.iter().map(|member| member.bounds);
    let bounds = bounds.reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])?;
    let mut members: Vec<usize> = members.into_iter().map(|member| member.label).collect();
    members.sort_unstable();
    Some(Group { sheet, members, bounds })
}
