//! Friendly noes over HTTP: one plain sentence with a status of 4xx.

use axum::Json;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use handround_protocol::join::HttpRefusal;

/// A no, on its way to the person at the screen.
#[derive(Debug)]
pub struct No {
    status: StatusCode,
    refusal: HttpRefusal,
}

impl No {
    /// A refusal by one of the rooms behind the edge.
    pub fn from_room(status: StatusCode, refusal: HttpRefusal) -> No {
        No { status, refusal }
    }

    /// A refusal by the edge itself.
    pub fn new(status: StatusCode, message: impl Into<String>) -> No {
        No { status, refusal: HttpRefusal { message: message.into(), line: None } }
    }

    /// Nothing is there.
    pub fn not_found() -> No {
        No::new(StatusCode::NOT_FOUND, "There is nothing at this address.")
    }

    /// Only a teacher may.
    pub fn teacher_only() -> No {
        No::new(
            StatusCode::UNAUTHORIZED,
            "Open the teacher's address that was printed when Handround started, then try again.",
        )
    }

    /// The same where teachers have accounts.
    pub fn sign_in_first() -> No {
        let message = "You are not signed in. Teachers have accounts here: sign in with your name and \
                       password, then try again.";
        No::new(StatusCode::UNAUTHORIZED, message)
    }

    /// The request came from a page of another site.
    pub fn other_site() -> No {
        No::new(StatusCode::FORBIDDEN, "This request came from a page of another site.")
    }

    /// Too many attempts.
    pub fn wait_a_moment() -> No {
        No::new(StatusCode::TOO_MANY_REQUESTS, "That was quick. Wait a moment, then try again.")
    }
}

impl IntoResponse for No {
    fn into_response(self) -> Response {
        // The wait in seconds (RFC 9110 section 10.2.3).
        let wait =
            (self.status == StatusCode::TOO_MANY_REQUESTS).then_some([(header::RETRY_AFTER, "2")]);
        let answer = (self.status, Json(self.refusal));
        match wait {
            Some(wait) => (wait, answer).into_response(),
            None => answer.into_response(),
        }
    }
}
