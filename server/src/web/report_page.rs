//! Reports on screen: HTML without a script, pictures before numbers, and a style sheet that prints.

use super::printed::{Frame, safe};
use super::reports::Which;
use crate::telling::{Bar, Block, Item, Leads, Row, Telling};
use handround_protocol::id::ClassId;

/// The way back to the teacher's page.
const BACK: &str = "<header class=\"top\"><a class=\"brand\" href=\"/teacher\">\
    <img src=\"/pages/art/leaf.svg\" alt=\"\" width=\"34\" height=\"34\"><span>Handround</span></a></header>";

/// Where a report stands.
pub struct Place<'a> {
    /// Whose.
    pub class: ClassId,
    /// The class's name.
    pub class_name: &'a str,
    /// The child by its line in the list; `None` for the class.
    pub child: Option<usize>,
    /// Which lessons it is about, and where the teacher is.
    pub which: &'a Which,
    /// Whose names paper leaves a line for.
    pub by_hand: Option<String>,
}

impl Place<'_> {
    /// The report's own address, or that of another child or lesson.
    fn address(&self, child: Option<usize>, which: &Which) -> String {
        let child = child.map_or_else(String::new, |child| format!("/{child}"));
        safe(&format!("/classes/{}/report{child}{}", self.class, which.query()))
    }

    fn to(&self, leads: &Leads) -> String {
        let class = self.class;
        match leads {
            Leads::Child(child) => self.address(Some(*child), self.which),
            Leads::Lesson(lesson) => self.address(
                self.child,
                &Which { lesson: Some(lesson.to_string()), ..self.which.clone() },
            ),
            Leads::AllLessons => {
                self.address(self.child, &Which { lesson: None, ..self.which.clone() })
            }
            Leads::Deck(group) => format!("/teacher#suggested-{class}-{group}"),
            Leads::Groups => format!("/teacher#class={class}&amp;way=play"),
        }
    }

    /// Said before a PDF is made; the browser's own letters have these names.
    fn by_hand(&self) -> String {
        self.by_hand.as_ref().map_or_else(String::new, |note| {
            format!(
                "<p class=\"acts\">{} Printed from the browser, they stand as they are.</p>",
                safe(note)
            )
        })
    }

    /// Ways to paper, to a table, and back.
    fn acts(&self) -> String {
        let (class, query) = (self.class, safe(&self.which.query()));
        let join = if query.is_empty() { "?" } else { "&amp;" };
        let report = format!("/classes/{class}/report");
        let (pdf, table, back) = match self.child {
            Some(child) => {
                let back = format!("<a href=\"{report}{query}\">{}</a> ", safe(self.class_name));
                (format!("{report}/{child}/pdf"), String::new(), back)
            }
            None => {
                let table = format!(
                    " <a href=\"{report}.csv{query}\" download=\"practice.csv\">Save as CSV</a>"
                );
                (format!("{report}.pdf"), table, String::new())
            }
        };
        let all = match self.which.lesson {
            Some(_) => format!("<a href=\"{}\">All lessons</a> ", self.to(&Leads::AllLessons)),
            None => String::new(),
        };
        format!(
            "<p class=\"acts\">{back}{all}<a href=\"{pdf}{query}{join}paper=a4\">Save as PDF, A4</a> \
             <a href=\"{pdf}{query}{join}paper=letter\">Save as PDF, Letter</a>{table} Or print this \
             page from the browser.</p>{}",
            self.by_hand()
        )
    }
}

/// A report as a page.
pub fn page(place: &Place<'_>, told: &Telling) -> String {
    let cautions: String =
        told.cautions.iter().map(|line| format!("<p>{}</p>", safe(line))).collect();
    let mut main = format!(
        "{}<h1>{}</h1><aside class=\"cautions\" aria-label=\"How to read this\">{cautions}</aside>",
        place.acts(),
        safe(&told.title),
    );
    told.blocks.iter().for_each(|block| main += &shown(place, block));
    // Windows are projected: their titles name no child.
    let title = if place.child.is_some() { "a child" } else { "a class" };
    let title = format!("Practice report of {title}");
    let styles = &["teacher", "report"];
    Frame { language: "en", title: &title, class: "report", styles, above: BACK }.around(&main)
}

fn shown(place: &Place<'_>, block: &Block) -> String {
    match block {
        Block::Heading(text) => format!("<h2>{}</h2>", safe(text)),
        Block::Under(text) => format!("<h3>{}</h3>", safe(text)),
        Block::Text(text) => format!("<p>{}</p>", safe(text)),
        Block::Items(items) => {
            let items: String = items.iter().map(|item| item_shown(place, item)).collect();
            format!("<ul>{items}</ul>")
        }
        Block::Rows(rows) => {
            let rows: String = rows.iter().map(|row| row_shown(place, row)).collect();
            format!("<ul class=\"items\">{rows}</ul>")
        }
        Block::Names(names) => {
            let name = |name: &String| format!("<li><strong>{}</strong></li>", safe(name));
            let names: String = names.iter().map(name).collect();
            format!("<ul class=\"items few\">{names}</ul>")
        }
    }
}

fn item_shown(place: &Place<'_>, item: &Item) -> String {
    let about = match item.about.as_str() {
        "" => String::new(),
        about if item.says.is_empty() => format!("<strong>{}</strong>", safe(about)),
        about => format!("<strong>{}</strong>: ", safe(about)),
    };
    let leads = item.leads.as_ref().map_or_else(String::new, |(words, leads)| {
        format!(" <a class=\"acts\" href=\"{}\">{}</a>", place.to(leads), safe(words))
    });
    format!("<li>{about}{}{leads}</li>", safe(&item.says))
}

fn row_shown(place: &Place<'_>, row: &Row) -> String {
    let about = safe(&row.about);
    let about = match &row.leads {
        Some(leads) => format!("<a href=\"{}\">{about}</a>", place.to(leads)),
        None => about,
    };
    let part = |css: &str, text: &str| match text {
        "" => String::new(),
        text => format!(" <span class=\"{css}\">{}</span>", safe(text)),
    };
    let bar = row.bar.map_or_else(String::new, |bar| picture(bar, &row.words, &row.count));
    // Three columns, so that bars stand under each other; a missing one leaves its place empty.
    format!(
        "<li><span class=\"about\"><strong>{about}</strong>{}</span><span class=\"share\">{bar}</span>\
         <span class=\"told\">{}{}</span></li>",
        part("of", &row.of),
        part("words", &row.words),
        part("count", &row.count)
    )
}

/// A bar from the least to the greatest plausible share, with a mark for what was seen.
fn picture(Bar { least, seen, greatest }: Bar, words: &str, count: &str) -> String {
    let told = safe(&format!("{words} {count}").trim().replace("  ", " "));
    format!(
        " <svg class=\"bar\" viewBox=\"0 0 212 24\" role=\"img\" aria-label=\"{told}\">\
         <rect class=\"ground\" x=\"6\" y=\"9\" width=\"200\" height=\"6\" rx=\"3\"/>\
         <rect class=\"span\" x=\"{:.1}\" y=\"6\" width=\"{:.1}\" height=\"12\" rx=\"6\"/>\
         <circle class=\"mark\" cx=\"{:.1}\" cy=\"12\" r=\"5\"/></svg>",
        6.0 + 200.0 * least,
        200.0 * (greatest - least),
        6.0 + 200.0 * seen,
    )
}
