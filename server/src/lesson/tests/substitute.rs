//! The end of a substitute's day, in paused time: what her page showed ends in that moment, for whoever has
//! it open and for whoever comes later.

use super::kit::{Device, ME, board_when, hub_over, join, lesson, memory, plan};
use crate::lesson::hub::Hub;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{LessonId, PupilIndex, Token};
use handround_protocol::substitute::SubstituteDay;
use handround_protocol::time::Micros;
use std::time::Duration;

const HOUR: Micros = Micros::from_s(60 * 60);

async fn given(hub: &Hub, lesson: LessonId, from: Micros, until: Micros) -> Token {
    let link = hub.give_substitute(ME, lesson, SubstituteDay { from, until }).await.unwrap();
    link.url.split_once('#').and_then(|(_, code)| Token::from_hex(code)).unwrap()
}

fn secret(url: &str) -> Token {
    url.rsplit('/').next().and_then(Token::from_hex).unwrap()
}

#[tokio::test(start_paused = true)]
async fn what_a_substitutes_page_showed_ends_with_the_day() {
    let hub = hub_over(&memory(), 21).await;
    let lesson = lesson(&hub, 4, plan(HouseRule::Out { shield: true })).await;
    let board = board_when(&hub, lesson, |board| !board.tables.is_empty()).await;
    let start = hub.today();
    let code = given(&hub, lesson, start.plus(HOUR), start.plus(HOUR).plus(HOUR)).await;
    assert!(hub.connect_substitute(code).is_err(), "not yet");
    tokio::time::sleep(Duration::from_micros(HOUR.0)).await;

    let mut page = hub.connect_substitute(code).unwrap();
    let view = crate::lesson::hub::substitute_view(&page.board.borrow(), &page.lent);
    assert!(view.row != board.row && view.join_url != board.join_url);
    let [link, wall] = [&view.join_url, &view.wall_url].map(|url| secret(url));
    let mut lent_wall = hub.lent_wall(wall).unwrap();
    let places = hub.places_by_row(&view.row).await.unwrap();
    let ada = hub.take_place(places.ticket, PupilIndex(0)).await.unwrap().token;
    let left_over = hub.places_by_link(link).await.unwrap().ticket;
    // Until here no simulated time has passed; the last moment of the day is a good one.
    let left = start.plus(HOUR).plus(HOUR).since(hub.today());
    tokio::time::sleep(Duration::from_micros(left.0) - Duration::from_millis(2)).await;
    assert!(hub.lent_wall(wall).is_some() && hub.places_by_link(link).await.is_ok());
    let late_ticket = hub.places_by_row(&view.row).await.unwrap().ticket;

    page.term.is_over().await;
    lent_wall.term.is_over().await;
    assert!(hub.today() >= start.plus(HOUR).plus(HOUR));
    assert!(hub.connect_substitute(code).is_err() && hub.lent_wall(wall).is_none());
    assert!(hub.places_by_row(&view.row).await.is_err());
    assert!(hub.places_by_link(link).await.is_err());
    for ticket in [left_over, late_ticket] {
        assert!(
            hub.take_place(ticket, PupilIndex(1)).await.is_err(),
            "a ticket that was left over"
        );
    }
    assert!(hub.substitute_slot(code).is_err());

    // Who sits stays; the teacher's own ways in were good all along.
    assert!(Device::connect(&hub, ada, None).await.is_ok());
    assert!(hub.wall(secret(&board.wall_url)).await.is_some());
    join(&hub, lesson, 1).await;
}
