//! Reports as pages: HTML without a script, pictures before numbers, and a style sheet that prints.

use super::printed::{Frame, safe};
use crate::evidence::{
    CAUTIONS, ChildReport, ClassReport, Interval, QUESTIONS, Steadiness, questions,
};
use crate::lesson::hub::Kept;
use handround_protocol::classes::NextTold;
use handround_protocol::id::ClassId;
use std::fmt::Write as _;

/// The way back to the teacher's page.
const BACK: &str = "<header class=\"top\"><a class=\"brand\" href=\"/teacher\">\
    <img src=\"/pages/art/leaf.svg\" alt=\"\" width=\"34\" height=\"34\"><span>Handround</span></a></header>";

fn whole(title: &str, main: &str) -> String {
    let styles = &["teacher", "report"];
    Frame { language: "en", title, class: "report", styles, above: BACK }.around(main)
}

fn cautions() -> String {
    let lines: String = CAUTIONS.iter().map(|line| format!("<p>{line}</p>")).collect();
    format!("<aside class=\"cautions\" aria-label=\"How to read this\">{lines}</aside>")
}

/// A bar from the least to the greatest plausible share, with a mark for what was seen.
fn picture(kept: usize, chances: usize, interval: Option<Interval>, says: Steadiness) -> String {
    let words = says.words();
    let Some(Interval { least, greatest }) = interval else {
        return format!("<span class=\"words\">{words}</span>");
    };
    let seen = kept as f64 / chances.max(1) as f64;
    let told = format!("{words}: {kept} of {chances} matches kept");
    format!(
        "<svg class=\"bar\" viewBox=\"0 0 204 24\" role=\"img\" aria-label=\"{told}\">\
         <rect class=\"ground\" x=\"2\" y=\"9\" width=\"200\" height=\"6\" rx=\"3\"/>\
         <rect class=\"span\" x=\"{:.1}\" y=\"6\" width=\"{:.1}\" height=\"12\" rx=\"6\"/>\
         <circle class=\"mark\" cx=\"{:.1}\" cy=\"12\" r=\"5\"/></svg>\
         <span class=\"words\">{words}</span> <span class=\"count\">{kept} of {chances}</span>",
        2.0 + 200.0 * least,
        200.0 * (greatest - least),
        2.0 + 200.0 * seen,
    )
}

/// The class on one page.
pub fn class(class: ClassId, kept: &Kept, found: &ClassReport, next: &NextTold) -> String {
    let mut out = format!("<h1>{}</h1>{}", safe(&kept.name), cautions());
    let _ = write!(
        out,
        "<p>Two things to ask any child: {}</p>",
        QUESTIONS.map(|line| format!("<q>{line}</q>")).join(" ")
    );
    let names: Vec<String> = kept.lessons().iter().map(|(_, name, _)| safe(name)).collect();
    let _ = match names.len() {
        0 => write!(out, "<p>No lesson of this class is kept.</p>"),
        1 => write!(out, "<p>From one lesson: {}.</p>", names[0]),
        more => write!(out, "<p>From {more} lessons.</p>"),
    };
    let _ = write!(
        out,
        "<p class=\"acts\"><a href=\"/classes/{class}/report.csv\" download=\"practice.csv\">Save as CSV</a> \
         To print or save as PDF, use the browser’s print.</p>\
         <p>Each bar reaches from the least to the greatest that is plausible; the dot is what was seen. \
         A long bar means: too few cards to be sure.</p><h2>Children</h2>\
         <table><thead><tr><th scope=\"col\">Child</th><th scope=\"col\">Practised</th>\
         <th scope=\"col\">Matches recognised</th></tr></thead><tbody>"
    );
    for (index, child) in found.children.iter().enumerate() {
        let link = format!("<a href=\"/classes/{class}/report/{index}\">{}</a>", safe(&child.name));
        if child.skills.is_empty() {
            let none = Steadiness::NotSeen.words();
            let _ = write!(out, "<tr><th scope=\"row\">{link}</th><td></td><td>{none}</td></tr>");
        }
        for skill in &child.skills {
            let own = &skill.recognition;
            let says = own.says.unwrap_or(Steadiness::NotSeen);
            let _ = write!(
                out,
                "<tr><th scope=\"row\">{link}</th><td>{}</td><td>{}</td></tr>",
                safe(&skill.skill),
                picture(own.kept, own.chances, own.interval, says)
            );
        }
    }
    out.push_str("</tbody></table><h2>Taken for each other by several</h2>");
    if found.shared.is_empty() {
        out.push_str("<p>Nothing that two children or more share.</p>");
    }
    for shared in &found.shared {
        let who = safe(&shared.children.join(", "));
        let (one, other) = (safe(&shared.items.0), safe(&shared.items.1));
        let _ = write!(out, "<p><strong>{one}</strong> and <strong>{other}</strong>: {who}</p>");
    }
    let _ = write!(
        out,
        "<h2>What could come next</h2><p>Suggestions only; you decide.</p>\
         <p class=\"acts\"><a href=\"/teacher#class={class}&amp;way=play\">Take these groups to the \
         groups page</a></p>"
    );
    if let Some(apart) = &next.apart {
        let _ = write!(out, "<p><strong>{}</strong></p>", safe(apart));
    }
    out.push_str("<ul>");
    for (index, group) in next.groups.iter().enumerate() {
        let why: Vec<String> = group.why.iter().map(|line| safe(line)).collect();
        let who = safe(&group.names.join(", "));
        let _ = write!(out, "<li><strong>{who}</strong>: {}", why.join(" "));
        if group.deck.is_some() {
            let there = format!("/teacher#suggested-{class}-{index}");
            let _ =
                write!(out, " <a class=\"acts\" href=\"{there}\">See the deck in the workshop</a>");
        }
        out.push_str("</li>");
    }
    out.push_str("</ul>");
    whole("Practice report of a class", &out)
}

/// One child on one page.
pub fn child(class: ClassId, kept: &Kept, child: &ChildReport) -> String {
    let mut out = format!(
        "<p class=\"acts\"><a href=\"/classes/{class}/report\">{}</a></p><h1>{}</h1>{}",
        safe(&kept.name),
        safe(&child.name),
        cautions()
    );
    let [first, second] = questions(child);
    let _ = write!(
        out,
        "<h2>Two things to ask</h2><ul><li>{}</li><li>{}</li></ul>",
        safe(&first),
        safe(&second)
    );
    for says in
        [Steadiness::Often, Steadiness::NotYetSteady, Steadiness::TooLittle, Steadiness::NotSeen]
    {
        let mut own: Vec<_> = child.items.iter().filter(|item| item.says == says).collect();
        // Numbers in their order, then words in theirs.
        own.sort_by_key(|item| (item.title.parse().unwrap_or(u32::MAX), item.title.clone()));
        if own.is_empty() {
            continue;
        }
        let bars = own.iter().any(|item| item.interval.is_some());
        let css = if bars { "items" } else { "items few" };
        let mut heading = says.words().to_owned();
        heading[..1].make_ascii_uppercase();
        let _ = write!(out, "<h2>{heading}</h2><ul class=\"{css}\">");
        for item in own {
            let shown = match (item.kept, item.interval) {
                (Some(kept), interval) => picture(kept, item.chances, interval, says),
                (None, _) => String::new(),
            };
            let _ = write!(out, "<li><strong>{}</strong> {shown}</li>", safe(&item.title));
        }
        out.push_str("</ul>");
    }
    if !child.confusions.is_empty() {
        out.push_str("<h2>Taken for each other</h2><ul>");
        for found in &child.confusions {
            let (one, other) = (safe(&found.items.0), safe(&found.items.1));
            let _ = write!(
                out,
                "<li><strong>{one}</strong> and <strong>{other}</strong>: {} times at {} decisions \
                 where it could show</li>",
                found.grabs + found.pairs_broken,
                found.of
            );
        }
        out.push_str("</ul>");
    }
    out.push_str("<h2>Ways of showing</h2><ul class=\"items\">");
    for kind in &child.kinds {
        let own = &kind.recognition;
        let says = own.says.unwrap_or(Steadiness::NotSeen);
        let _ = write!(
            out,
            "<li><strong>{}</strong> {}",
            safe(&kind.name),
            picture(own.kept, own.chances, own.interval, says)
        );
        if let Some([low, middle, high]) = kind.seconds {
            let _ = write!(
                out,
                " <span class=\"count\">about {middle:.0} s to decide, mostly {low:.0} to {high:.0} s</span>"
            );
        }
        out.push_str("</li>");
    }
    let _ = write!(
        out,
        "</ul><h2>Four alike</h2><p>Noticed {}, missed {}, broken up {}.",
        child.fours.noticed, child.fours.missed, child.fours.broken
    );
    if let Some([_, middle, _]) = child.fours.seconds {
        let _ = write!(out, " Noticed after about {middle:.0} s.");
    }
    let _ = write!(
        out,
        "</p><h2>What this rests on</h2><p>{} decisions of this child’s own. Left out:</p><ul>",
        child.decisions
    );
    for left in &child.excluded {
        let _ = write!(out, "<li>{} {}</li>", left.count, left.words);
    }
    out.push_str("</ul>");
    whole("Practice report of a child", &out)
}
