//! The building stage against published figures, closed forms and its own laws.

mod house {
    mod balance;
    mod beside;
    mod boxes;
    mod controls;
    mod covers;
    mod edges;
    mod envelope;
    mod evaporation;
    mod glazing;
    mod golden;
    mod ground;
    mod hourly;
    mod humidity;
    mod input;
    mod nights;
    mod shapes;
    mod sky;
    mod years;
}
