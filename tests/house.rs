//! The building stage against published figures, closed forms and its own laws.

mod house {
    mod balance;
    mod boxes;
    mod controls;
    mod edges;
    mod envelope;
    mod glazing;
    mod ground;
    mod input;
    mod nights;
    mod shapes;
    mod sky;
    mod steps;
    mod years;
}
