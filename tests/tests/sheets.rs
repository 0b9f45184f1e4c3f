//! The planning sheet and the letter for families, asked for as a teacher's browser does.

#![allow(clippy::unwrap_used)]

use handround_tests::house::House;

const CLASS: &str =
    "nickname,picture,readiness,apart\nAda,kite,1,Bo\nBo,drum,3,\nCleo,,2,\nDino,,,\n";

fn text(body: &[u8]) -> String {
    String::from_utf8(body.to_vec()).unwrap()
}

/// Source of the cautions' wording: 16 CFR 1501 is the rule on small parts for children under three;
/// 45 mm is the balls' limit of 16 CFR 1500.18(a)(17), from memory.
#[tokio::test]
async fn a_letter_in_either_language_has_every_card_the_cautions_and_no_child() {
    let house = House::open().await;
    let lesson = house.make_lesson(CLASS).await;
    for (language, words) in [
        (
            "en",
            ["under three", "wider than 45 mm", "An adult plays along", "nothing about any child"],
        ),
        (
            "es",
            [
                "menores de tres",
                "más de 45 mm",
                "Una persona adulta juega",
                "no dice nada de ningún",
            ],
        ),
    ] {
        let path = format!("GET /lessons/{lesson}/family-letter?language={language}");
        let answer = house.ask_as_teacher(&path, b"").await;
        assert_eq!(answer.status, 200);
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        let page = text(&answer.body);
        assert!(page.contains(&format!("<html lang=\"{language}\">")));
        for word in words.into_iter().chain(["16 CFR 1501"]) {
            assert!(page.contains(word), "{language}: {word}");
        }
        for child in ["Ada", "Bo<", "Cleo", "Dino"] {
            assert!(!page.contains(child), "{language}: {child}");
        }
        // Ages 5 to 6 begin with seven groups of four.
        assert_eq!(page.matches("class=\"card\"").count(), 28);
    }
    let odd = format!("GET /lessons/{lesson}/family-letter?language=xx");
    assert_eq!(house.ask_as_teacher(&odd, b"").await.status, 400);
    assert_eq!(
        house.ask(&format!("GET /lessons/{lesson}/family-letter"), &[], b"").await.status,
        401
    );
}

/// Source: the codes are those of the Common Core State Standards (2010), as the workshop lists them.
#[tokio::test]
async fn a_planning_sheet_has_standards_groups_minutes_and_an_exit_question_of_three_cards() {
    let house = House::open().await;
    let lesson = house.make_lesson(CLASS).await;
    let answer =
        house.ask_as_teacher(&format!("GET /lessons/{lesson}/planning?minutes=25"), b"").await;
    assert_eq!(answer.status, 200);
    let page = text(&answer.body);
    for part in [
        "K.CC.",
        "Our own code",
        "Ada",
        "Dino",
        "25 of play",
        "These match because",
        "Which two match?",
    ] {
        assert!(page.contains(part), "{part}");
    }
    assert!(!page.to_lowercase().contains("readiness"));
    assert_eq!(page.matches("class=\"card\"").count(), 3);
    for minutes in ["0", "4", "121", "x"] {
        let path = format!("GET /lessons/{lesson}/planning?minutes={minutes}");
        assert_eq!(house.ask_as_teacher(&path, b"").await.status, 400, "{minutes}");
    }
    assert_eq!(house.ask(&format!("GET /lessons/{lesson}/planning"), &[], b"").await.status, 401);
}
