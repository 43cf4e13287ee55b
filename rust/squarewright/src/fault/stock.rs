//! What can be wrong with a list of paints.

/// Why a list of paints cannot be used; `place` says where: "row 3, column colour".
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StockFault {
    /// No paint at all.
    #[error("has no paints")]
    Empty,
    /// A column is missing, unknown or given twice.
    #[error("{place}: {what}")]
    Column {
        /// Where.
        place: String,
        /// What is wrong with it.
        what: String,
    },
    /// Two paints of one name.
    #[error("{place}: the name {name:?} stands in {earlier} already")]
    Duplicate {
        /// Where the second is.
        place: String,
        /// The name.
        name: String,
        /// Where the first is.
        earlier: String,
    },
    /// What should be a colour is none.
    #[error("{place}: {got} is not a colour")]
    Colour {
        /// Where.
        place: String,
        /// What stands there.
        got: String,
    },
    /// A price that is not understood, or prices in several currencies.
    #[error("{place}: {what}")]
    Price {
        /// Where.
        place: String,
        /// What is wrong with it.
        what: String,
    },
    /// A number that cannot be: a bottle of nothing, a share of more than all.
    #[error("{place}: {got} is not {must}")]
    Amount {
        /// Where.
        place: String,
        /// What it must be.
        must: &'static str,
        /// What stands there.
        got: String,
    },
    /// A word that is not understood.
    #[error("{place}: {got:?} is not {must}")]
    Word {
        /// Where.
        place: String,
        /// What it must be.
        must: &'static str,
        /// What stands there.
        got: String,
    },
    /// More than a list of paints ever holds.
    #[error("is too big: {what}, and the limit is {limit}")]
    TooBig {
        /// The size found.
        what: String,
        /// The size allowed.
        limit: String,
    },
    /// Bytes that are no text.
    #[error("{place}: {what}")]
    Encoding {
        /// Where.
        place: String,
        /// What is wrong with it.
        what: &'static str,
    },
    /// The text breaks the rules of its format.
    #[error("{place}: {what}")]
    Syntax {
        /// Where.
        place: String,
        /// What the rules say.
        what: String,
    },
    /// A palette that breaks its format.
    #[error("line {line}: {what}")]
    Gpl {
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
}

impl StockFault {
    pub(super) fn code(&self) -> &'static str {
        match self {
            Self::Empty => "STOCK-EMPTY",
            Self::Column { .. } => "STOCK-COLUMN",
            Self::Duplicate { .. } => "STOCK-DUPLICATE",
            Self::Colour { .. } => "STOCK-COLOUR",
            Self::Price { .. } => "STOCK-PRICE",
            Self::Amount { .. } => "STOCK-AMOUNT",
            Self::Word { .. } => "STOCK-WORD",
            Self::TooBig { .. } => "STOCK-TOO-BIG",
            Self::Encoding { .. } => "STOCK-ENCODING",
            Self::Syntax { .. } => "STOCK-SYNTAX",
            Self::Gpl { .. } => "GPL-BAD",
        }
    }

    pub(super) fn hint(&self) -> &'static str {
        match self {
            Self::Empty => "List at least one paint with its name and colour.",
            Self::Column { .. } => {
                "Name the columns name, colour and any of owned, ml, price, currency, opacity, strength, tint, \
                 share, white, note."
            }
            Self::Duplicate { .. } => "Give each paint a name of its own.",
            Self::Colour { .. } => "Write a colour as #rrggbb.",
            Self::Price { .. } => {
                "Write prices like 4.50, all in one currency; for prices like 4,50 say so with decimal=\",\"."
            }
            Self::Amount { .. } => "Correct that number, or leave it out when it is not known.",
            Self::Word { .. } => "Correct that word, or leave it out when it is not known.",
            Self::TooBig { .. } => "Keep only the paints that you have or would buy.",
            Self::Encoding { .. } => "Save it as plain text in UTF-8.",
            Self::Syntax { .. } => "Correct that line.",
            Self::Gpl { .. } => "Save the palette again from the editor that made it.",
        }
    }
}
