//! The crop table and growth: what each crop needs, does and suffers in a bed's climate.
