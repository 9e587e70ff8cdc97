//! The building stage against published figures, closed forms and its own laws.

mod house {
    mod boxes;
    mod explore;
    mod shapes;
    mod sky;
}
