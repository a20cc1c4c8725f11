//! What is told of a picture or a chart that could not be drawn: the crate that draws has no words.

use report::pictures;
use viz::{ChartError, PictureError};

/// Why a picture could not be made.
pub(crate) fn told_picture(error: &PictureError) -> String {
    match error {
        PictureError::Size { width, height } => pictures::no_size(*width, *height),
        PictureError::Png(_) => pictures::NO_PNG.to_owned(),
    }
}

/// Why a chart could not be drawn.
pub(crate) fn told_chart(error: &ChartError) -> String {
    pictures::no_chart(match error {
        ChartError::Values => pictures::NO_RISING_VALUES,
        ChartError::Library(words) => words.as_str(),
    })
}
