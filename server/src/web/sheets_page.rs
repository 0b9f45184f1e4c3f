//! The words and the HTML of the planning sheet and of the letter for families: no script, and a style
//! sheet that prints. The Spanish is our own and no native speaker has read it yet.

use super::printed::{Frame, safe};
use crate::deck::face::CREDIT;
use crate::deck::print::Pack;
use handround_protocol::face::{Face, FaceKind, FaceSheet};
use handround_protocol::id::GroupIndex;
use handround_protocol::view::LessonPlan;
use handround_protocol::workshop::SkillOffer;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// What a planning sheet is made from.
pub struct Planning<'a> {
    /// How the lesson is played.
    pub plan: &'a LessonPlan,
    /// Its tables and cards.
    pub pack: &'a Pack,
    /// The skill as the workshop offers it; `None` for a deck of her own.
    pub offer: Option<&'a SkillOffer>,
    /// Minutes for playing.
    pub minutes: u16,
}

/// Languages of the letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Language {
    /// English.
    English,
    /// Spanish.
    Spanish,
}

fn whole(language: &str, title: &str, main: &str) -> String {
    Frame { language, title, class: "sheets", styles: &["sheets"], above: "" }.around(main)
}

fn list(items: impl IntoIterator<Item = String>) -> String {
    let lines: String = items.into_iter().map(|item| format!("<li>{item}</li>")).collect();
    format!("<ul>{lines}</ul>")
}

/// The faces of each match group, in the deck's order.
fn groups(sheet: &FaceSheet) -> BTreeMap<GroupIndex, Vec<&Face>> {
    let mut groups: BTreeMap<GroupIndex, Vec<&Face>> = BTreeMap::new();
    sheet.faces.iter().for_each(|face| groups.entry(face.group).or_default().push(face));
    groups
}

/// What is said of a face after its kind: `ten frame, seven` is seven.
fn value(face: &Face) -> &str {
    face.label_after.rsplit(", ").next().unwrap_or(&face.label_after)
}

/// A face inside a page: the drawing carries its own meaning for a screen reader.
fn card(face: &Face) -> String {
    format!(
        "<span class=\"card\" role=\"img\" aria-label=\"{}\">{}</span>",
        safe(&face.label_after),
        face.svg
    )
}

/// Two cards that match, and one of another group between them.
fn exit_question(sheet: &FaceSheet) -> String {
    let groups = groups(sheet);
    let mut groups = groups.values();
    let (Some([one, .., other]), Some([third, ..])) =
        (groups.next().map(Vec::as_slice), groups.next().map(Vec::as_slice))
    else {
        return String::new();
    };
    format!("<div class=\"three\">{}{}{}</div>", card(one), card(third), card(other))
}

/// The sheet for the teacher's own folder. It has the children's nicknames and nothing of readiness.
pub fn planning(from: &Planning<'_>) -> String {
    let Planning { plan, pack, offer, minutes } = from;
    let mut out = format!("<h1>{}</h1>", safe(&pack.name));
    let decks: Vec<String> = pack.decks.iter().map(|deck| safe(&deck.name)).collect();
    let skill = offer.map_or_else(|| decks.join(", "), |offer| safe(&offer.name));
    let _ = write!(
        out,
        "<h2>Aim</h2><p>Children recognise what belongs together: {skill}. Cards: {}. They say how they \
         know.</p><h2>Standards</h2>",
        decks.join("; ")
    );
    let codes = offer.map(|offer| offer.standards.as_slice()).unwrap_or_default();
    out.push_str(&list(
        codes
            .iter()
            .map(|one| format!("<strong>{}</strong> {}", safe(&one.code), safe(&one.asks)))
            .chain(["Our own code: <span class=\"blank\"></span>".to_owned()]),
    ));
    out.push_str("<h2>Words to teach</h2>");
    for deck in &pack.decks {
        let mut words: Vec<String> = deck.naming.iter().map(|one| safe(&one.word)).collect();
        if words.is_empty() {
            let firsts = groups(deck).into_values().filter_map(|faces| faces.first().copied());
            words = firsts.map(|face| safe(value(face))).collect();
        }
        words.sort();
        words.dedup();
        let _ = write!(out, "<p><strong>{}:</strong> {}.</p>", safe(&deck.name), words.join(", "));
    }
    out.push_str(
        "<p>And: match, belongs together, pass on, keep, pebble, four alike.</p><h2>Groups</h2>",
    );
    out.push_str(&list(pack.tables.iter().map(|table| {
        let deck = pack.decks.iter().find(|deck| deck.deck == table.deck);
        let deck = deck.map_or("", |deck| deck.name.as_str());
        format!(
            "<strong>{}</strong> {} ({})",
            safe(&table.name),
            safe(&table.players.join(", ")),
            safe(deck)
        )
    })));
    let naming = if plan.naming_walk { "name the pictures, " } else { "" };
    let _ = write!(
        out,
        "<h2>Minutes</h2><p>5 at the carpet: {naming}one round of the model table on the wall. {minutes} of \
         play; the bell lets rounds finish. 5 together: four cards on the wall, then the exit question.</p>\
         <h2>Talk</h2>"
    );
    out.push_str(&list(
        [
            "These match because …",
            "One is hidden. What is missing? How do you know?",
            "Which two cards look alike and do not match? What tells them apart?",
            "Could another card belong here, too? What would it look like?",
        ]
        .map(str::to_owned),
    ));
    out.push_str("<h2>Exit question</h2><p>Which two match? How do you know?</p>");
    out.push_str(&pack.decks.first().map(exit_question).unwrap_or_default());
    whole("en", "Planning sheet", &out)
}

/// The letter's words in one language.
struct Words {
    code: &'static str,
    title: &'static str,
    lines: &'static [&'static str],
    rules_title: &'static str,
    rules: &'static [&'static str],
    cautions_title: &'static str,
    cautions: &'static [&'static str],
    cards: &'static str,
}

/// The cautions are those of the printed guide: 16 CFR 1501 for small parts, the rest common practice,
/// no source.
const ENGLISH: Words = Words {
    code: "en",
    title: "A card game from our class",
    lines: &[
        "Dear families,",
        "in class we practise with a quick card game: four cards that match, then everybody takes a pebble, \
         of which there is one too few. You can play it at home with the cards below. There is no need to; \
         it is only for fun.",
        "This letter holds nothing about any child. How our school treats children’s data stands in the \
         school’s policy; please ask us.",
    ],
    rules_title: "How to play",
    rules: &[
        "Three or four players, four cards each; the rest is a pile. In the middle lie soft tokens, one fewer \
         than players.",
        "The first player takes a card, keeps it and passes another one on, or passes it on. Everybody does \
         the same with the card that comes; the last one lays it aside.",
        "Who has four that match takes a token, quickly or quietly. Then everybody takes one. Who gets none is \
         last this time, and plays on.",
        "Talk about it: how do you know that these match?",
    ],
    cautions_title: "Please",
    cautions: &[
        "An adult plays along.",
        "Tokens are soft, in one piece and wider than 45 mm (1.8 in): folded socks, felt. Nothing small, hard, \
         sharp, metal or magnetic.",
        "Not for children under three; keep cards and tokens out of their reach (small parts, 16 CFR 1501).",
        "No diving for a token. An adult cuts the cards out.",
    ],
    cards: "Cards to cut out",
};

const SPANISH: Words = Words {
    code: "es",
    title: "Un juego de cartas de nuestra clase",
    lines: &[
        "Queridas familias:",
        "En clase practicamos con un juego rápido de cartas: cuatro cartas que van juntas, y después cada quien \
         toma una piedrita; siempre falta una. Pueden jugarlo en casa con las cartas de abajo. No es \
         obligatorio; es solo para divertirse.",
        "Esta carta no dice nada de ningún niño ni de ninguna niña. Las reglas de nuestra escuela sobre los \
         datos de los niños valen primero; pregúntennos.",
    ],
    rules_title: "Cómo se juega",
    rules: &[
        "Juegan tres o cuatro personas, con cuatro cartas cada una; las demás forman un montón. En el centro hay \
         fichas blandas, una menos que jugadores.",
        "La primera persona toma una carta, se la queda y pasa otra, o la pasa. Las demás hacen lo mismo con la \
         carta que les llega; la última la deja a un lado.",
        "Quien tiene cuatro que van juntas toma una ficha, rápido o en silencio. Entonces cada quien toma una. \
         Quien se queda sin ficha es el último esta vez, y sigue jugando.",
        "Hablen de ello: ¿cómo sabes que estas van juntas?",
    ],
    cautions_title: "Por favor",
    cautions: &[
        "Una persona adulta juega también.",
        "Las fichas son blandas, de una pieza y de más de 45 mm (1.8 pulgadas): calcetines doblados, fieltro. \
         Nada pequeño, duro, afilado, de metal ni magnético.",
        "No es para menores de tres años; guarden cartas y fichas fuera de su alcance (piezas pequeñas, \
         16 CFR 1501).",
        "Nadie se lanza por una ficha. Una persona adulta recorta las cartas.",
    ],
    cards: "Cartas para recortar",
};

/// A letter that names no child, with the cards of a deck in their printed size.
pub fn family_letter(language: Language, deck: &FaceSheet) -> String {
    let words = match language {
        Language::English => &ENGLISH,
        Language::Spanish => &SPANISH,
    };
    let mut out = format!("<h1>{}</h1>", words.title);
    for line in words.lines {
        let _ = write!(out, "<p>{line}</p>");
    }
    for (title, lines) in [(words.rules_title, words.rules), (words.cautions_title, words.cautions)]
    {
        let lines = list(lines.iter().map(|line| (*line).to_owned()));
        let _ = write!(out, "<h2>{title}</h2>{lines}");
    }
    let _ = write!(out, "<h2 class=\"on-a-new-page\">{}: {}</h2>", words.cards, safe(&deck.name));
    let cards: String = deck.faces.iter().map(card).collect();
    let _ = write!(out, "<div class=\"cut-out\">{cards}</div>");
    if deck.faces.iter().any(|face| face.kind == FaceKind::Emoji) {
        let _ = write!(out, "<p class=\"credit\">{CREDIT}</p>");
    }
    whole(words.code, words.title, &out)
}
