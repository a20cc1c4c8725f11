//! The files of the page, all inside the program. Names are looked up in a list made when the program was built: no
//! path of a request ever reaches the file system.

use include_dir::{Dir, include_dir};

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/assets/live");

/// What the page's own server does not hand out: it is filled and sent by `/api/page`.
const OFFLINE: [&str; 2] = ["offline.html", "offline.css"];

/// Bytes and content type of a file.
#[must_use]
pub fn find(name: &str) -> Option<(&'static [u8], &'static str)> {
    if OFFLINE.contains(&name) {
        return None;
    }
    let font = match name {
        "regular.ttf" => Some(viz::Weight::Regular),
        "bold.ttf" => Some(viz::Weight::Bold),
        _ => None,
    };
    if let Some(weight) = font {
        return Some((viz::font_file(weight), "font/ttf"));
    }
    let kind = match name.rsplit_once('.')?.1 {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        _ => return None,
    };
    Some((FILES.get_file(name)?.contents(), kind))
}

/// Text of a file of the self-contained page.
#[must_use]
pub fn offline(name: &str) -> Option<&'static str> {
    FILES.get_file(name)?.contents_utf8()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_on_the_list_are_found() {
        assert!(find("index.html").is_some());
        for name in [
            "../live/index.html",
            "./index.html",
            "/index.html",
            "",
            ".",
            "..",
            "offline.html",
            "index",
            "a\0.js",
        ] {
            assert!(find(name).is_none(), "{name}");
        }
    }
}
