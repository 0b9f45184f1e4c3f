//! Looking at printed pages as poppler draws them (pdftoppm, pdfinfo, pdftotext: programs that are
//! not ours), and measuring them in mm.

use anyhow::{Context as _, Result, ensure};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Runs one of poppler's programs.
///
/// # Errors
/// If it is missing or complains.
pub fn poppler(program: &str, arguments: &[&str]) -> Result<Vec<u8>> {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .with_context(|| format!("{program} is missing (Debian: poppler-utils)"))?;
    let said = String::from_utf8_lossy(&output.stderr);
    ensure!(output.status.success() && said.is_empty(), "{program}: {said}");
    Ok(output.stdout)
}

/// A PDF in a scratch file, removed with it.
pub struct Pdf {
    path: PathBuf,
    _folder: tempfile::TempDir,
}

impl Pdf {
    /// Writes the bytes where poppler can read them.
    ///
    /// # Errors
    /// If the file cannot be written.
    pub fn of(bytes: &[u8]) -> Result<Pdf> {
        let folder = tempfile::tempdir()?;
        let path = folder.path().join("print.pdf");
        std::fs::write(&path, bytes)?;
        Ok(Pdf { path, _folder: folder })
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn name(&self) -> &str {
        self.path.to_str().unwrap_or_default()
    }

    /// What pdfinfo says about all pages.
    ///
    /// # Errors
    /// If it complains.
    pub fn info(&self) -> Result<String> {
        Ok(String::from_utf8(poppler("pdfinfo", &["-box", "-l", "999", self.name()])?)?)
    }

    /// How many pages pdfinfo counts.
    ///
    /// # Errors
    /// If it complains.
    pub fn pages(&self) -> Result<usize> {
        let info = self.info()?;
        let line = info.lines().find_map(|line| line.strip_prefix("Pages:")).context("no pages")?;
        Ok(line.trim().parse()?)
    }

    /// The words of one page, in reading order.
    ///
    /// # Errors
    /// If pdftotext complains.
    pub fn words(&self, page: usize) -> Result<String> {
        let page = page.to_string();
        let arguments = ["-f", &page, "-l", &page, self.name(), "-"];
        Ok(String::from_utf8(poppler("pdftotext", &arguments)?)?)
    }

    /// The words of one page with their boxes: left, top, right, bottom in points.
    ///
    /// # Errors
    /// If pdftotext complains.
    pub fn boxes(&self, page: usize) -> Result<Vec<(String, [f64; 4])>> {
        let page = page.to_string();
        let arguments = ["-bbox", "-f", &page, "-l", &page, self.name(), "-"];
        let text = String::from_utf8(poppler("pdftotext", &arguments)?)?;
        let word = |line: &str| {
            let (head, rest) = line.trim().strip_prefix("<word ")?.split_once('>')?;
            let numbers: Vec<f64> =
                head.split('"').filter_map(|number| number.parse().ok()).collect();
            Some((rest.strip_suffix("</word>")?.to_owned(), numbers.try_into().ok()?))
        };
        Ok(text.lines().filter_map(word).collect())
    }

    /// The fonts, as pdffonts lists them.
    ///
    /// # Errors
    /// If it complains.
    pub fn fonts(&self) -> Result<String> {
        Ok(String::from_utf8(poppler("pdffonts", &[self.name()])?)?)
    }

    /// One page as a picture of this many dots an inch.
    ///
    /// # Errors
    /// If pdftoppm complains.
    pub fn picture(&self, page: usize, dots: u32) -> Result<Picture> {
        self.pictures(page, page, dots)?.pop().context("no such page")
    }

    /// Pages from the first to the last one, as pictures; one start of the program for all.
    ///
    /// # Errors
    /// If pdftoppm complains.
    pub fn pictures(&self, first: usize, last: usize, dots: u32) -> Result<Vec<Picture>> {
        let [first, last, resolution] =
            [first, last, dots as usize].map(|number| number.to_string());
        let arguments = ["-r", &resolution, "-gray", "-f", &first, "-l", &last, self.name()];
        let bytes = poppler("pdftoppm", &arguments)?;
        let (mut pictures, mut rest) = (Vec::new(), &bytes[..]);
        while !rest.is_empty() {
            let picture = Picture::read(&mut rest, dots)?;
            pictures.push(picture);
        }
        Ok(pictures)
    }
}

/// Darker than this below white is a line; a card's own ground is 15 at most.
const LINE_DARK: f64 = 30.0;

/// A page in greys; 255 is paper.
pub struct Picture {
    /// Dots in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    dots: Vec<u8>,
    /// mm from one dot to the next.
    pub pitch: f64,
}

impl Picture {
    /// Reads a binary portable greymap off the beginning.
    fn read(bytes: &mut &[u8], dots_an_inch: u32) -> Result<Picture> {
        let mut at = 0;
        let mut field = || {
            let rest = bytes.get(at..).unwrap_or_default();
            let end = rest.iter().position(u8::is_ascii_whitespace).unwrap_or(rest.len());
            at += end + 1;
            String::from_utf8_lossy(&rest[..end]).into_owned()
        };
        ensure!(field() == "P5", "not a greymap");
        let (width, height): (usize, usize) = (field().parse()?, field().parse()?);
        ensure!(field() == "255", "not 8 bits deep");
        let dots = bytes.get(at..at + width * height).context("the greymap is cut off")?.to_vec();
        *bytes = bytes.get(at + width * height..).unwrap_or_default();
        Ok(Picture { width, height, dots, pitch: 25.4 / f64::from(dots_an_inch) })
    }

    /// Bare paper of the same size.
    pub fn white(like: &Picture) -> Picture {
        Picture { dots: vec![255; like.dots.len()], ..*like }
    }

    /// The grey of a dot.
    pub fn grey(&self, x: usize, y: usize) -> u8 {
        self.dots[y * self.width + x]
    }

    /// Where thin lines cross a level line at `y` mm, between two places in mm.
    pub fn lines_across(&self, y: f64, (from, to): (f64, f64)) -> Vec<f64> {
        let row = (y / self.pitch) as usize;
        self.centres(from, to, |dot| self.grey(dot, row))
    }

    /// Where thin lines cross an upright line at `x` mm, between two places in mm.
    pub fn lines_down(&self, x: f64, (from, to): (f64, f64)) -> Vec<f64> {
        let column = (x / self.pitch) as usize;
        self.centres(from, to, |dot| self.grey(column, dot))
    }

    /// Middles, weighted by darkness, of runs of dots that are part of a line.
    fn centres(&self, from: f64, to: f64, grey: impl Fn(usize) -> u8) -> Vec<f64> {
        let (from, to) = ((from / self.pitch) as usize, (to / self.pitch) as usize);
        let mut centres = Vec::new();
        let (mut weight, mut moment) = (0.0, 0.0);
        for dot in from..=to {
            let dark = f64::from(255 - grey(dot));
            if dark > LINE_DARK && dot < to {
                weight += dark;
                moment += dark * (dot as f64 + 0.5);
            } else if weight > 0.0 {
                centres.push(moment / weight * self.pitch);
                (weight, moment) = (0.0, 0.0);
            }
        }
        centres
    }

    /// The share of dots that are not paper in a rectangle, given in mm.
    pub fn inked(&self, (left, top): (f64, f64), (width, height): (f64, f64)) -> f64 {
        let dots = |mm: f64| (mm / self.pitch) as usize;
        let (mut inked, mut all) = (0, 0);
        for y in dots(top)..dots(top + height) {
            for x in dots(left)..dots(left + width) {
                all += 1;
                inked += usize::from(self.grey(x, y) < 250);
            }
        }
        f64::from(inked as u32) / f64::from(all as u32)
    }

    /// Mean darkness of a rectangle given in mm: 0 is white, 255 black.
    pub fn darkness(&self, (left, top): (f64, f64), (width, height): (f64, f64)) -> f64 {
        let dots = |mm: f64| (mm / self.pitch).round() as usize;
        let (rows, columns) = (dots(top)..dots(top + height), dots(left)..dots(left + width));
        let count = rows.len() * columns.len();
        let grey = |y| columns.clone().map(move |x| f64::from(255 - self.grey(x, y))).sum::<f64>();
        rows.map(grey).sum::<f64>() / count as f64
    }

    /// Connected areas that are not paper, each as its dots in mm, largest first.
    pub fn areas(&self) -> Vec<Vec<(f64, f64)>> {
        let mut seen: Vec<bool> = self.dots.iter().map(|grey| *grey >= 250).collect();
        let mut areas = Vec::new();
        for start in 0..seen.len() {
            let (mut area, mut open) = (Vec::new(), vec![start]);
            while let Some(dot) = open.pop() {
                if std::mem::replace(&mut seen[dot], true) {
                    continue;
                }
                let (x, y) = (dot % self.width, dot / self.width);
                area.push(((x as f64 + 0.5) * self.pitch, (y as f64 + 0.5) * self.pitch));
                open.extend((x > 0).then(|| dot - 1));
                open.extend((x + 1 < self.width).then_some(dot + 1));
                open.extend((y > 0).then(|| dot - self.width));
                open.extend((y + 1 < self.height).then_some(dot + self.width));
            }
            if !area.is_empty() {
                areas.push(area);
            }
        }
        areas.sort_by_key(|area| std::cmp::Reverse(area.len()));
        areas
    }
}
