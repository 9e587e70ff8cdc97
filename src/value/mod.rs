//! Money: household, prices, costs, payback.
