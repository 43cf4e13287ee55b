//! Tracing: counts worked out by hand and held against Euler's formula F = 1 + C − V + A.

use squarewright::colour::Rgb;
use squarewright::grid::Grid;
use squarewright::length::{Length, Ratio};
use squarewright::outline::{
    Corner, GridLine, GridLines, Heading, Marking, corner_joints, islands, trace, trace_labels, walk,
};
use squarewright::palette::Palette;
use squarewright::panel::Piece;

/// Nodes, arcs and cracks of small labellings (common practice: drawn and counted).
#[test]
fn small_figures_have_the_counted_nodes_arcs_and_cracks() {
    let cases: [(usize, usize, &[u16], [usize; 3]); 6] = [
        (1, 1, &[1], [0, 1, 4]),
        (2, 2, &[1, 2, 3, 4], [5, 8, 12]),
        (2, 2, &[1, 1, 2, 3], [4, 6, 11]),
        (2, 2, &[1, 2, 2, 1], [5, 8, 12]),
        (3, 3, &[1, 1, 1, 1, 2, 1, 1, 1, 1], [0, 2, 16]),
        (2, 3, &[1, 2, 3, 1, 2, 3], [4, 6, 14]),
    ];
    for (rows, columns, labels, expected) in cases {
        let outline = trace_labels(rows, columns, labels);
        let cracks = outline.arcs.iter().map(squarewright::outline::Arc::length).sum();
        assert_eq!([outline.nodes.len(), outline.arcs.len(), cracks], expected, "{labels:?}");
    }
}

/// Counts the parts that a relation joins `count` things into.
fn parts(count: usize, joined: &[(usize, usize)]) -> usize {
    let mut name: Vec<usize> = (0..count).collect();
    for _ in 0..count {
        let before = name.clone();
        for &(a, b) in joined {
            let low = name[a].min(name[b]);
            (name[a], name[b]) = (low, low);
        }
        if name == before {
            break;
        }
    }
    (0..count).filter(|&thing| name[thing] == thing).count()
}

/// F = 1 + C − V + A, where faces are the areas of one label and the outside; every crack is drawn once.
#[test]
fn faces_follow_from_nodes_and_arcs() {
    let small: [(usize, usize, &[u16], usize); 6] = [
        (1, 1, &[1], 2),
        (2, 2, &[1, 2, 3, 4], 5),
        (2, 2, &[1, 1, 2, 3], 4),
        (2, 2, &[1, 2, 2, 1], 5),
        (3, 3, &[1, 1, 1, 1, 2, 1, 1, 1, 1], 3),
        (2, 3, &[1, 2, 3, 1, 2, 3], 4),
    ];
    let mut cases: Vec<(usize, usize, Vec<u16>, Option<usize>)> = small
        .iter()
        .map(|&(rows, columns, labels, faces)| (rows, columns, labels.to_vec(), Some(faces)))
        .collect();
    let mut state = 9_u64;
    for turn in 0..60 {
        let colours = 2 + turn % 4;
        let label = |_| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            u16::try_from((state >> 33) % colours).expect("few colours")
        };
        cases.push((20, 20, (0..400).map(label).collect(), None));
    }
    for (rows, columns, labels, known) in cases {
        let outline = trace_labels(rows, columns, &labels);
        let corner = |at: &Corner| at.row * (columns + 1) + at.column;
        let ends: Vec<(usize, usize)> = outline
            .arcs
            .iter()
            .map(|arc| (corner(&arc.start), corner(arc.corners().last().expect("an end"))))
            .collect();
        let mut points: Vec<usize> = ends.iter().flat_map(|&(from, to)| [from, to]).collect();
        points.sort_unstable();
        points.dedup();
        let index = |point: usize| points.binary_search(&point).expect("a point");
        let joined: Vec<(usize, usize)> = ends.iter().map(|&(from, to)| (index(from), index(to))).collect();
        let faces = 1 + parts(points.len(), &joined) + ends.len() - points.len();
        // The outside is one more cell, beside every cell of label 0 at the edge.
        let outside = rows * columns;
        let mut beside = Vec::new();
        let mut cracks = 0;
        for place in 0..outside {
            let (row, column) = (place / columns, place % columns);
            let right = if column + 1 < columns { place + 1 } else { outside };
            let below = if row + 1 < rows { place + columns } else { outside };
            let mut pairs = vec![(place, right), (place, below)];
            pairs.extend((column == 0).then_some((place, outside)));
            pairs.extend((row == 0).then_some((place, outside)));
            for (a, b) in pairs {
                let same = labels[a] == labels.get(b).copied().unwrap_or(0);
                cracks += usize::from(!same);
                beside.extend(same.then_some((a, b)));
            }
        }
        assert_eq!(faces, parts(outside + 1, &beside));
        assert!(known.is_none_or(|known| known == faces), "{labels:?}");
        assert_eq!(outline.arcs.iter().map(squarewright::outline::Arc::length).sum::<usize>(), cracks);
    }
}

fn figure(drawing: &[&str]) -> Grid {
    let cells = drawing.concat().chars().map(|c| (c == '#').then_some(0)).collect();
    let palette = Palette::new(vec![Rgb([10, 20, 30])]).expect("one colour");
    Grid::new(drawing.len(), drawing[0].len(), cells, palette).expect("a figure")
}

#[test]
fn rings_enclose_as_many_cells_as_the_figure_has() {
    for drawing in [
        &["#####", "#...#", "#...#", "#...#", "#####"][..],
        &["##..", "##..", "..##", "..##"],
        &[".#.", "#.#", ".#."],
        &["##.##", "##.##", ".....", "#####"],
    ] {
        let grid = figure(drawing);
        let area: i64 = trace(&grid).rings.iter().map(squarewright::outline::Ring::area).sum();
        assert_eq!(usize::try_from(area).unwrap(), grid.figure_cells(), "{drawing:?}");
    }
}

/// Two-by-two windows with a diagonal pattern, counted by hand (bit quads after Gray, 1971, from memory).
#[test]
fn corner_joints_and_islands_are_found() {
    let pair = figure(&["##..", "##..", "..##", "..##"]);
    assert_eq!((corner_joints(&pair).len(), islands(&pair).len()), (1, 2));
    let cross = figure(&[".#.", "#.#", ".#."]);
    assert_eq!((corner_joints(&cross).len(), islands(&cross).len()), (4, 4));
    let ring = figure(&["#####", "#...#", "#...#", "#...#", "#####"]);
    assert_eq!((corner_joints(&ring).len(), islands(&ring).len()), (0, 1));
    let parts = figure(&["##.##", "##.##", ".....", "#####"]);
    assert_eq!((corner_joints(&parts).len(), islands(&parts).len()), (0, 3));
}

#[test]
fn a_checkerboard_has_a_joint_at_every_inner_corner() {
    let rows: Vec<String> = (0..8)
        .map(|row| (0..8).map(|column| if (row + column) % 2 == 0 { '#' } else { '.' }).collect())
        .collect();
    let board = figure(&rows.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!((corner_joints(&board).len(), islands(&board).len()), (49, 32));
}

/// Lines and runs of an L of three cells, drawn by hand (common practice).
#[test]
fn an_l_needs_its_own_lines_and_is_walked_with_the_clock() {
    let labels: Vec<u16> = (0..49).map(|place| u16::from([8, 15, 16].contains(&place))).collect();
    let outline = trace_labels(7, 7, &labels);
    let zero = Ratio::from(Length::ZERO);
    let piece = Piece { across: 0, down: 0, columns: 0..7, rows: 0..7, left: zero, top: zero };
    let GridLines { columns, rows } = GridLines::of(&outline, &piece, Marking::Sparse);
    let said = |lines: &[GridLine]| -> Vec<[usize; 3]> {
        lines.iter().map(|line| [line.index, line.from, line.to]).collect()
    };
    assert_eq!(said(&columns), [[0, 0, 7], [1, 1, 3], [2, 1, 2], [3, 2, 3], [5, 0, 7], [7, 0, 7]]);
    assert_eq!(said(&rows), [[0, 0, 7], [1, 1, 2], [2, 2, 3], [3, 1, 3], [5, 0, 7], [7, 0, 7]]);
    let all = GridLines::of(&outline, &piece, Marking::All);
    assert_eq!((all.count(), all.cells()), (16, 112));
    let words = |mirrored| -> Vec<(Heading, usize)> {
        let walks = walk(&outline, mirrored);
        assert_eq!(walks.len(), 1);
        walks[0].runs.iter().map(|run| (run.heading, run.length)).collect()
    };
    let (east, south, west, north) = (Heading::East, Heading::South, Heading::West, Heading::North);
    assert_eq!(words(None), [(east, 1), (south, 1), (east, 1), (south, 1), (west, 2), (north, 2)]);
    assert_eq!(words(Some(7)), [(east, 1), (south, 2), (west, 2), (north, 1), (east, 1), (north, 1)]);
    assert_eq!(walk(&outline, Some(7))[0].start, Corner { row: 1, column: 5 });
}
