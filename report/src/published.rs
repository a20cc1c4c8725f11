//! What `verify` says of the published problems, in its table and on its page. Their titles, sources and remarks are their own.

use std::fmt::Display;

/// The title of the page as a browser has it.
pub const PAGE: &str = "pullmap: verification";
/// Its heading.
pub const HEADING: &str = "Published problems, solved again";
/// How its pictures are read.
pub const KEY: &str = "In the pictures: arrows are loads as solved, longest where they are greatest; thick green edges are held; \
                       rings mark where a number is read; long dashes are lines of symmetry, of which one side is solved. \
                       Dotted frames cut what goes on.";

/// What is met of how many problems, and what the columns of the page are.
#[must_use]
pub fn introduction(met: usize, problems: usize, numbers: usize) -> String {
    format!(
        "{met} of {problems} problems are met: {numbers} numbers and rates of convergence, each beside where it was published \
         and how far off it may be. Version {}. A difference is a part of the published number, or absolute where that is zero. \
         The overview shows of each problem the number nearest to its limit.",
        env!("CARGO_PKG_VERSION")
    )
}

/// Headings of the overview; the last column is the verdict.
pub const OVERVIEW: [&str; 7] = ["problem", "source", EXPECTED, GOT, "difference", RATES, ""];
/// Headings of the numbers of a problem; the last column is the verdict.
pub const NUMBERS: [&str; 6] = ["quantity", EXPECTED, GOT, "difference", ALLOWED, ""];
/// The published number.
pub const EXPECTED: &str = "expected";
/// The computed one.
pub const GOT: &str = "got";
/// How far the one is from the other, where there is room for a word.
pub const OFF: &str = "off";
/// How far off it may be.
pub const ALLOWED: &str = "allowed";
/// Rates of convergence.
pub const RATES: &str = "rates";

/// Whether all is met, on the page.
#[must_use]
pub const fn verdict(met: bool) -> &'static str {
    if met { "met" } else { "not met" }
}

/// The heading of the reasons for what is allowed.
pub const REASONS: &str = "Allowed:";
/// What stands under a chart of convergence.
pub const UNDER_CHART: &str = "Errors on finer and finer meshes. Dashed: theory.";

/// Where a problem was published, on the page.
#[must_use]
pub fn source(source: &str) -> String {
    format!("Source: {source}")
}

/// A problem that could not be run, on the page, and why.
#[must_use]
pub fn not_run(why: &str) -> String {
    format!("Could not be run: {why}")
}

/// The rate at which an error falls.
#[must_use]
pub fn rate_of(quantity: &str) -> String {
    format!("rate of the {quantity}")
}

/// The end of a picture's alternative text: a number as published and as computed, already written.
#[must_use]
pub fn expected_and_got(quantity: &str, expected: &str, got: &str) -> String {
    format!(" {quantity}: expected {expected}, got {got}.")
}

/// A picture of a solved problem that could not be drawn, and why.
#[must_use]
pub fn no_picture(why: impl Display) -> String {
    format!("a picture of a solved problem could not be drawn: {why}")
}

/// Lines of the printed table.
pub mod table {
    /// The head of a problem.
    #[must_use]
    pub fn head(name: &str, title: &str, source: &str) -> String {
        format!("{name}\n  {title}\n  source: {source}\n")
    }

    const fn verdict(met: bool) -> &'static str {
        if met { "pass" } else { "FAIL" }
    }

    /// A problem that could not be run, and why.
    #[must_use]
    pub fn not_run(why: &str) -> String {
        format!("  {}  could not be run: {why}\n", verdict(false))
    }

    /// A number: as published and as computed (already written), their difference and what it may be.
    #[must_use]
    pub fn number(
        met: bool,
        quantity: &str,
        [expected, got]: [String; 2],
        difference: f64,
        allowed: f64,
    ) -> String {
        let (verdict, difference) = (verdict(met), format!("{difference:+.1e}"));
        format!(
            "  {verdict}  {quantity:<58} expected {expected:>12}  got {got:>12}  difference {difference:>9}  allowed {allowed:.1e}\n"
        )
    }

    /// A rate: as measured, that of theory and how far it may be off.
    #[must_use]
    pub fn rate(met: bool, quantity: &str, measured: f64, [theory, within]: [f64; 2]) -> String {
        let verdict = verdict(met);
        format!("  {verdict}  {quantity:<58} rate {measured:.2}, theory {theory} within {within}\n")
    }

    /// The closing line.
    #[must_use]
    pub fn met(met: usize, problems: usize) -> String {
        format!("{met} of {problems} published problems are met.\n")
    }
}
