//! The one error type of the crate: each variant is a thing the reader can act on.

use super::StockFault;

/// What the functions of this crate return.
pub type Result<T, E = Error> = std::result::Result<T, E>;

/// What can go wrong.
///
/// `Display` says what is wrong; [`Error::hint`] says what to do about it; [`Error::code`] is the stable
/// name that tests and scripts look for.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The bytes are not a picture that can be used.
    #[error("{0}")]
    Picture(#[from] PictureFault),
    /// The text is not a list of paints that can be used.
    #[error("{0}")]
    Stock(#[from] StockFault),
    /// A length is not written in a form that is understood, or is not above zero.
    #[error("{field} cannot be {got}")]
    Length {
        /// The setting the length was meant for.
        field: &'static str,
        /// What was given, as the caller would recognise it.
        got: String,
    },
    /// The cells do not fit on the board.
    #[error("{cells} cells do not fit on {room}")]
    Fit {
        /// The cells, as `columns × rows`.
        cells: String,
        /// The board and its margins, in words.
        room: String,
        /// What would fit.
        remedy: String,
    },
    /// Too many or too few colours.
    #[error("{got} colours; a grid has 1 to {limit}")]
    Colours {
        /// How many there are.
        got: usize,
        /// How many there may be.
        limit: usize,
    },
    /// A number of colours that cannot be asked for.
    #[error("colours must be a whole number from 2 to 64, got {got}")]
    ColourCount {
        /// What was given.
        got: String,
    },
    /// A colour is not written in a form that is understood.
    #[error("{got} is not a colour")]
    Colour {
        /// What was given.
        got: String,
    },
    /// Cells and palette do not make a grid.
    #[error("the grid is not valid: {what}")]
    Grid {
        /// What is wrong, with the place (row and column) where there is one.
        what: String,
    },
    /// No cell grid can be read from the picture.
    #[error("no grid of cells was found: {why}")]
    NoGrid {
        /// What the picture looks like instead.
        why: String,
    },
    /// A reading of the cells that is not sure enough to plan with.
    #[error("gives a grid that is too unsure to plan with (confidence {confidence:.2})")]
    Unsure {
        /// How sure it is, 0 to 1.
        confidence: f64,
    },
    /// Any other argument outside its domain.
    #[error("{name} must be {must}, got {got}")]
    Argument {
        /// The argument.
        name: &'static str,
        /// What is allowed.
        must: String,
        /// What was given.
        got: String,
    },
    /// A stored plan of another version.
    #[error("the plan is of version {got}, and this release reads version {reads}")]
    PlanVersion {
        /// The version of the plan.
        got: u32,
        /// The version that is read.
        reads: u32,
    },
    /// Figures that cannot hang where they should.
    #[error("{what}")]
    Placing {
        /// What is in the way of what.
        what: String,
        /// What would do.
        remedy: String,
    },
    /// The caller asked to stop.
    #[error("stopped before the work was done")]
    Stopped,
}

impl Error {
    /// Gives the stable name of this kind of error.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Picture(fault) => fault.code(),
            Self::Stock(fault) => fault.code(),
            Self::Length { .. } => "SIZE-BAD",
            Self::Fit { .. } => "SIZE-FIT",
            Self::Colours { .. } | Self::ColourCount { .. } => "COLOURS-RANGE",
            Self::Colour { .. } => "COLOUR-BAD",
            Self::Grid { .. } => "GRID-BAD",
            Self::NoGrid { .. } => "GRID-NONE",
            Self::Unsure { .. } => "GRID-UNSURE",
            Self::Argument { .. } => "VALUE-BAD",
            Self::PlanVersion { .. } => "PLAN-VERSION",
            Self::Placing { .. } => "WALL-PLACE",
            Self::Stopped => "STOPPED",
        }
    }

    /// Says what the reader can do.
    pub fn hint(&self) -> String {
        match self {
            Self::Picture(fault) => fault.hint(),
            Self::Stock(fault) => fault.hint().into(),
            Self::Length { .. } => {
                "Write a length above zero with its unit: \"3/16 in\", \"1 1/2 in\", \"8 mm\", \"1 ft\"."
                    .into()
            }
            Self::Fit { remedy, .. } | Self::Placing { remedy, .. } => remedy.clone(),
            Self::Colours { limit, .. } => {
                format!("Merge the nearest colours until {limit} or fewer are left.")
            }
            Self::ColourCount { .. } => "Ask for 2 to 64 colours; 8 to 16 suit most figures.".into(),
            Self::Colour { .. } => "Write a colour as \"#rrggbb\" or as three whole numbers 0 to 255.".into(),
            Self::Grid { .. } => {
                "Give whole numbers of shape (rows, columns), -1 for bare cells and 0 to n - 1 for the n \
                 colours of the palette."
                    .into()
            }
            Self::NoGrid { .. } => {
                "Use a picture whose cells are still even squares, or pixelate the picture instead.".into()
            }
            Self::Unsure { .. } => {
                "Look at recover(picture).alternatives, choose a reading and plan its grid.".into()
            }
            Self::Argument { .. } => "Change that value and try again.".into(),
            Self::PlanVersion { got, reads } if got < reads => {
                "It is older: plan the picture again with this release.".into()
            }
            Self::PlanVersion { .. } => {
                "It is newer: read it with the release that wrote it, or a later one.".into()
            }
            Self::Stopped => "Start again when ready.".into(),
        }
    }
}

/// Why bytes are not a usable picture.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureFault {
    /// No bytes at all.
    #[error("is empty (0 bytes)")]
    Empty,
    /// A picture of no width or no height.
    #[error("has no pixels")]
    NoPixels,
    /// The bytes end before the picture does.
    #[error("stops {}", .percent.map_or("in the middle of the picture".into(), |percent| format!("after {percent} % of its rows")))]
    Truncated {
        /// The whole percent of rows that are there, when that is known.
        percent: Option<u8>,
    },
    /// Something else under a picture's name.
    #[error("is {0}, not a picture")]
    NotPicture(Disguise),
    /// A drawing made of shapes.
    #[error("is a vector drawing")]
    Vector,
    /// A picture format that is not read.
    #[error("is {0}, a format that is not read")]
    Format(&'static str),
    /// The file breaks its own format.
    #[error("is damaged: {0}")]
    Damaged(String),
    /// Larger than what is safe to open.
    #[error("is too big: {what}, and the limit is {limit}")]
    TooBig {
        /// The size found.
        what: String,
        /// The size allowed.
        limit: String,
    },
    /// Too few pixels for the cells that are asked for.
    #[error("has {width} × {height} pixels, too few for {} × {} cells", cells.0, cells.1)]
    TooSmall {
        /// Its width, or that of the part to show.
        width: u32,
        /// Its height, or that of the part to show.
        height: u32,
        /// The cells asked for, across and down.
        cells: (usize, usize),
    },
    /// Far longer one way than the other.
    #[error("is too thin for a grid: {width} × {height} pixels")]
    Shape {
        /// Its width, or that of the part to show.
        width: u32,
        /// Its height, or that of the part to show.
        height: u32,
    },
    /// Nothing to see.
    #[error("is blank: every pixel is transparent")]
    Blank,
    /// Pixels that do not have the stated shape.
    #[error("has {got} bytes of pixels where {width} × {height} × {channels} are stated")]
    Pixels {
        /// Bytes given.
        got: usize,
        /// Stated width.
        width: u32,
        /// Stated height.
        height: u32,
        /// Stated channels.
        channels: u32,
    },
}

impl PictureFault {
    fn code(&self) -> &'static str {
        match self {
            Self::Empty | Self::NoPixels => "PIC-EMPTY",
            Self::Truncated { .. } => "PIC-TRUNCATED",
            Self::NotPicture(_) => "PIC-NOT-PICTURE",
            Self::Vector => "PIC-VECTOR",
            Self::Format(_) => "PIC-FORMAT",
            Self::Damaged(_) => "PIC-DAMAGED",
            Self::TooBig { .. } => "PIC-TOO-BIG",
            Self::TooSmall { .. } => "PIC-TOO-SMALL",
            Self::Shape { .. } => "PIC-SHAPE",
            Self::Blank => "PIC-BLANK",
            Self::Pixels { .. } => "PIC-PIXELS",
        }
    }

    fn hint(&self) -> String {
        match self {
            Self::Empty | Self::NoPixels | Self::Truncated { .. } | Self::Damaged(_) => {
                "Save or download it again.".into()
            }
            Self::NotPicture(disguise) => disguise.hint().into(),
            Self::Vector => "Export it as PNG first.".into(),
            Self::Format(_) => "Save it as PNG or JPEG first.".into(),
            Self::TooBig { .. } => "Shrink or crop it first.".into(),
            Self::TooSmall { width, height, .. } => format!(
                "Use a larger picture, or ask for at most {width} columns and {height} rows; pixel art goes \
                 to recover instead."
            ),
            Self::Shape { .. } => "Crop it to less than 512 times as long as it is wide.".into(),
            Self::Blank => "Save it with its colours visible.".into(),
            Self::Pixels { .. } => {
                "Give uint8 pixels of shape (height, width, 3) or (height, width, 4).".into()
            }
        }
    }
}

/// What a file is when it is not the picture that its name promises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Disguise {
    /// Plain text.
    #[error("a text file")]
    Text,
    /// HTML, most often an error page saved by a failed download.
    #[error("a web page")]
    WebPage,
    /// A large-file pointer whose content was not fetched.
    #[error("a pointer to a file that was not fetched")]
    Pointer,
    /// A PDF.
    #[error("a PDF")]
    Pdf,
    /// A zip or another archive.
    #[error("an archive")]
    Archive,
    /// None of the kinds above.
    #[error("a file of unknown kind")]
    Unknown,
}

impl Disguise {
    fn hint(self) -> &'static str {
        match self {
            Self::WebPage => "The download was probably an error page: download the picture itself again.",
            Self::Pointer => "Fetch the real picture with the tool that made the pointer.",
            Self::Pdf => "Export the page as PNG first.",
            Self::Archive => "Unpack it and give the picture inside.",
            Self::Text | Self::Unknown => "Give a PNG, JPEG, GIF, BMP or WebP picture.",
        }
    }
}
