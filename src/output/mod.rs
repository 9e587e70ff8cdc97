//! What people and machines read: tables, CSV, JSON, Parquet, calendar, report. It computes nothing.
