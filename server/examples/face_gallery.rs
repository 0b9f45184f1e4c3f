//! Writes every drawing of every kind into one HTML page, to be looked at:
//! `cargo run -p handround-server --example face_gallery -- faces.html [kind]`.

use anyhow::Context as _;
use handround_server::deck::{alphabet, face};
use std::fmt::Write as _;

fn main() -> anyhow::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().context("give the path of the page to write")?;
    let wanted = arguments.next();
    let mut page = String::from(
        "<!doctype html><meta charset=utf-8><title>Faces</title><style>body{background:#cfd8c4;\
         font:16px sans-serif}div{display:flex;flex-wrap:wrap;gap:12px}div svg{width:200px}body>svg{display:block;background:#fbf6ea}</style>",
    );
    for text in ["abcdefghijklm", "nopqrstuvwxyz", "ABCDEFGHIJKLM", "NOPQRSTUVWXYZ", "0123456789+-"]
    {
        if wanted.as_ref().is_some_and(|wanted| wanted != "Alphabet") {
            continue;
        }
        let svg = alphabet::specimen(text).context("the alphabet lacks a letter")?;
        page.push_str(&svg.replacen("<svg", "<svg height=170", 1));
    }
    for kind in face::KINDS {
        if wanted.as_ref().is_some_and(|wanted| *wanted != format!("{kind:?}")) {
            continue;
        }
        write!(page, "<h2>{kind:?}</h2><div>")?;
        for svg in face::values(kind).filter_map(|value| face::draw(kind, value)) {
            page.push_str(&svg);
        }
        page.push_str("</div>");
    }
    std::fs::write(&path, page).with_context(|| format!("cannot write {path}"))
}
