//! What play says about a skill. Pure; knows no socket, database, runtime, clock or global
//! randomness. A later piece of work fills this room; the marks that it needs are recorded by
//! `game` from the first game on.
