//! Where a cut figure balances, and where one hook holds it level.

use crate::grid::Grid;

/// A point of the grid in cells, from its top-left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Down from the top edge.
    pub row: f64,
    /// Right from the left edge.
    pub column: f64,
}

/// Gives the centroid of the figure: the mean of the middles of its cells, as board and card weigh the same
/// everywhere.
pub fn centroid(grid: &Grid) -> Point {
    let cells = grid.cells().iter().enumerate().filter(|(_, cell)| cell.is_some());
    let (mut rows, mut columns, mut count) = (0.0, 0.0, 0.0);
    for (place, _) in cells {
        rows += (place / grid.columns()) as f64 + 0.5;
        columns += (place % grid.columns()) as f64 + 0.5;
        count += 1.0;
    }
    Point { row: rows / count, column: columns / count }
}

/// Finds where one hook holds the figure level: straight above the centroid, as high as the figure allows with
/// `inset` cells left free all round; none when the figure has no such place there.
pub fn hook(grid: &Grid, inset: f64) -> Option<Point> {
    let Point { row: middle, column } = centroid(grid);
    let is_free = |row: f64| is_clear(grid, Point { row, column }, inset);
    // The square round the hook stands clear first where its upper side lies on a grid line.
    let rows = (0..grid.rows()).map(|row| row as f64 + inset);
    let row = rows.take_while(|&row| row <= middle).find(|&row| is_free(row))?;
    Some(Point { row, column })
}

/// Finds where two fixings bear half of the figure each: at one height above the centroid, as far to its left as
/// to its right, with `inset` cells left free all round.
///
/// Fixings far apart and far above the centroid hold steady, so the smaller of the two is made as large as the
/// figure allows; then the larger.
pub fn pair(grid: &Grid, inset: f64) -> Option<(Point, Point)> {
    let Point { row: middle, column } = centroid(grid);
    let at = |row: f64, off: f64| Point { row, column: column + off };
    let lines = (0..grid.columns()).flat_map(|line| [line as f64 + inset, (line + 1) as f64 - inset]);
    let mut offs: Vec<f64> = lines.map(|line| (line - column).abs()).filter(|&off| off > inset).collect();
    offs.sort_by(|a, b| b.total_cmp(a));
    let steady = |&(row, off): &(f64, f64)| (off.min(middle - row), off.max(middle - row));
    let rows = (0..grid.rows()).map(|row| row as f64 + inset).take_while(|&row| row < middle);
    let free =
        |row: f64, off: f64| is_clear(grid, at(row, -off), inset) && is_clear(grid, at(row, off), inset);
    let widest = rows.filter_map(|row| offs.iter().find(|&&off| free(row, off)).map(|&off| (row, off)));
    let best = widest.reduce(|best, other| if steady(&other) > steady(&best) { other } else { best });
    best.map(|(row, off)| (at(row, -off), at(row, off)))
}

/// Tells whether the square that reaches `inset` from a point lies on the figure.
fn is_clear(grid: &Grid, at: Point, inset: f64) -> bool {
    let across = spanned(at.column, inset);
    let mut cells = spanned(at.row, inset).flat_map(|row| across.clone().map(move |column| (row, column)));
    cells.all(|(row, column)| is_figure(grid, row, column))
}

/// Gives the rows or columns that lie within `inset` of a line.
#[expect(clippy::cast_possible_truncation, reason = "a grid has at most 512 cells a side")]
fn spanned(line: f64, inset: f64) -> std::ops::Range<i64> {
    // A hair's breadth of a cell is none.
    (line - inset + 1e-9).floor() as i64..(line + inset - 1e-9).ceil() as i64
}

fn is_figure(grid: &Grid, row: i64, column: i64) -> bool {
    let within = |place: i64, count: usize| usize::try_from(place).ok().filter(|&place| place < count);
    let place = within(row, grid.rows()).zip(within(column, grid.columns()));
    place.is_some_and(|(row, column)| grid.cells()[row * grid.columns() + column].is_some())
}
