//! The small requests before a socket: joining, face sheets, lessons.

use crate::address::Server;
use anyhow::{Context as _, anyhow};
use handround_protocol::face::FaceSheet;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, LessonId, PupilIndex, Token};
use handround_protocol::join::{
    HttpRefusal, JoinLink, JoinPick, JoinPlaces, JoinRow, Joined, LessonMade, PartnerSeat,
};
use handround_protocol::picture::Picture;
use serde::de::DeserializeOwned;
use std::time::Duration;
use ureq::http::Response;
use ureq::{Agent, Body};

/// Longer than a busy server in the same room ever takes.
const ANSWER_WAIT: Duration = Duration::from_secs(20);
/// Times a request that came too soon is repeated: a load test joins hundreds from one address.
const REPEATS_MAX: u32 = 60;

/// Speaks HTTP with one server. Cheap to clone.
#[derive(Clone)]
pub struct Http {
    server: Server,
    agent: Agent,
    key: Option<String>,
}

impl Http {
    /// `key` is the teacher's, for what only she may ask.
    pub fn new(server: Server, key: Option<String>) -> Http {
        let config =
            Agent::config_builder().http_status_as_error(false).timeout_global(Some(ANSWER_WAIT));
        Http { server, agent: config.build().into(), key }
    }

    /// The places of the lesson with this row of pictures.
    pub async fn join_row(&self, row: Vec<Picture>) -> anyhow::Result<JoinPlaces> {
        self.post_json("/join/row", &JoinRow { row }).await
    }

    /// The places of the lesson with this link.
    pub async fn join_link(&self, code: Token) -> anyhow::Result<JoinPlaces> {
        self.post_json("/join/link", &JoinLink { code }).await
    }

    /// Takes a place.
    pub async fn join_place(&self, ticket: Token, pupil: PupilIndex) -> anyhow::Result<Joined> {
        self.post_json("/join/place", &JoinPick { ticket, pupil }).await
    }

    /// All faces of a deck.
    pub async fn faces(&self, deck: DeckId) -> anyhow::Result<FaceSheet> {
        let url = self.server.http(&format!("/decks/{deck}/faces"));
        self.ask(move |http| http.agent.get(&url).call()).await
    }

    /// Makes a lesson from a class list.
    pub async fn make_lesson(
        &self,
        name: &str,
        ages: AgeBand,
        class_list: String,
    ) -> anyhow::Result<LessonMade> {
        let (url, name) = (self.server.http("/lessons"), name.to_owned());
        self.ask(move |http| {
            let request = http.agent.post(&url).header("authorization", http.bearer());
            let request = request.query("name", &name).query("ages", format!("{ages:?}"));
            request.content_type("text/csv").send(&class_list)
        })
        .await
    }

    /// Secrets for the seats of a lesson's practice partners.
    pub async fn partner_seats(&self, lesson: LessonId) -> anyhow::Result<Vec<PartnerSeat>> {
        let url = self.server.http(&format!("/lessons/{lesson}/partners"));
        self.ask(move |http| {
            http.agent.post(&url).header("authorization", http.bearer()).send_empty()
        })
        .await
    }

    /// What goes into the `Authorization` header (RFC 6750).
    pub fn bearer(&self) -> String {
        format!("Bearer {}", self.key.as_deref().unwrap_or_default())
    }

    async fn post_json<A, T>(&self, path: &str, body: &A) -> anyhow::Result<T>
    where
        A: serde::Serialize,
        T: DeserializeOwned + Send + 'static,
    {
        let (url, body) = (self.server.http(path), serde_json::to_value(body)?);
        self.ask(move |http| http.agent.post(&url).send_json(&body)).await
    }

    /// Asks on a blocking thread, and again after a while if the answer is that it was too soon.
    async fn ask<T: DeserializeOwned + Send + 'static>(
        &self,
        request: impl Fn(&Http) -> Result<Response<Body>, ureq::Error> + Clone + Send + 'static,
    ) -> anyhow::Result<T> {
        for _ in 0..REPEATS_MAX {
            let (http, request) = (self.clone(), request.clone());
            let mut response = tokio::task::spawn_blocking(move || request(&http))
                .await?
                .with_context(|| format!("no answer from {}", self.server.http("")))?;
            let status = response.status().as_u16();
            if status == 429 {
                let after = response.headers().get("retry-after");
                let after = after.and_then(|value| value.to_str().ok()?.parse().ok());
                tokio::time::sleep(Duration::from_secs(after.unwrap_or(2).clamp(1, 30))).await;
                continue;
            }
            let text = tokio::task::spawn_blocking(move || response.body_mut().read_to_string());
            let text = text.await??;
            if (200..300).contains(&status) {
                return serde_json::from_str(&text).context("an answer could not be read");
            }
            let refusal = serde_json::from_str::<HttpRefusal>(&text);
            let message = refusal.map_or(text, |refusal| refusal.message);
            return Err(anyhow!("{message} ({status})"));
        }
        Err(anyhow!("the server says 'too soon' again and again"))
    }
}
