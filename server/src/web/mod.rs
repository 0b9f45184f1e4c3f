//! HTTP and WebSocket edge: sign-in, limits, routes.
