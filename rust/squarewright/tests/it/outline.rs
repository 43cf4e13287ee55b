//! Tracing: counts worked out by hand and held against Euler's formula F = 1 + C − V + A.

use squarewright::colour::Rgb;
use squarewright::grid::Grid;
use squarewright::outline::{corner_joints, islands, trace, trace_labels};
use squarewright::palette::Palette;

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
