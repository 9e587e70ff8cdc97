//! Entries of a crop file: each key against the schema, each figure in its shape and range.

use super::{CropFile, Figure, Numbers, Placed, Said};
use crate::crops::Range;
use crate::crops::schema::{KEYS, Key, OLD_KEYS, Shape};
use crate::document::{Entry, FileError, Node, Value};
use crate::plain::blanked;
use crate::suggest::{meant, nearest};

impl CropFile {
    pub(super) fn take_top(&mut self, entry: &Entry) -> Result<(), FileError> {
        let (word, value) = (entry.key.as_str(), &entry.node);
        let of_section = || keys().filter(|key| section(key.path) == word);
        if word == "like" {
            self.like = Some(self.text(word, value)?);
        } else if word == "sources" {
            for source in self.table(word, value)? {
                let text = self.text(&source.key, &source.node)?.value;
                self.sources.insert(source.key.clone(), text);
            }
        } else if let Some(key) = keys().find(|key| key.path == word) {
            self.take(key, value)?;
        } else if of_section().next().is_some() {
            for figure in self.table(word, value)? {
                let key = of_section().find(|key| leaf(key.path) == figure.key);
                let known = KEYS.iter().filter(|key| section(key.path) == word);
                let known = known.map(|key| leaf(key.path));
                let key = key.ok_or_else(|| self.unknown(figure, known))?;
                self.take(key, &figure.node)?;
            }
        } else {
            let known = ["like", "sources"].into_iter();
            let known = known.chain(KEYS.iter().map(|key| section(key.path)));
            return Err(self.unknown(entry, known));
        }
        Ok(())
    }

    fn take(&mut self, key: &'static Key, value: &Node) -> Result<(), FileError> {
        let said = self.said(key, value)?;
        if OLD_KEYS.iter().any(|old| old.path == key.path) {
            self.old.push(key.path);
        }
        self.entries.insert(key.path, said);
        Ok(())
    }

    fn said(&self, key: &Key, value: &Node) -> Result<Said, FileError> {
        let path = key.path;
        let wrong = |takes: &str| Err(self.wrong(value, format!("`{path}` is {takes}")));
        match (key.shape, &value.value) {
            (Shape::Word, _) => self.text(path, value).map(Said::Word),
            (Shape::Switch, Value::Flag(on)) => Ok(Said::Switch(*on)),
            (Shape::Switch, _) => wrong("`true` or `false`"),
            (Shape::List, Value::List(list)) => {
                let words = list.iter().map(|item| self.text(path, item));
                words.collect::<Result<_, _>>().map(Said::List)
            }
            (Shape::List, _) => wrong("a list of words in brackets"),
            _ => self.figure(key, value).map(Said::Figure),
        }
    }

    fn figure(&self, key: &Key, value: &Node) -> Result<Placed<Figure>, FileError> {
        let (parts, form) = key.shape.parts();
        let path = key.path;
        let Value::Table(entries) = &value.value else {
            return Err(self.wrong(value, format!("`{path}` is written {form}")));
        };
        for entry in entries {
            let word = entry.key.as_str();
            if word != "from" && !parts.contains(&word) {
                let known = parts.iter().copied().chain(["from"]);
                return Err(self.unknown(entry, known));
            }
        }
        let source = value.get("from").ok_or_else(|| {
            self.wrong(
                value,
                format!("`{path}` has no source: it is written {form}"),
            )
        })?;
        let source = self.text("from", source)?;
        let part = |name: &str| {
            value.get(name).ok_or_else(|| {
                self.wrong(
                    value,
                    format!("`{path}` lacks `{name}`: it is written {form}"),
                )
            })
        };
        let numbers = match key.shape {
            Shape::Range => {
                let range = Range {
                    low: self.number(key, part("low")?)?,
                    high: self.number(key, part("high")?)?,
                };
                if range.low > range.high {
                    let message =
                        format!("`{path}` goes from {} down to {}", range.low, range.high);
                    return Err(self.wrong(value, message));
                }
                Numbers::Range(range)
            }
            Shape::Curve => self.curve(key, value, &part)?,
            Shape::Points => {
                let (at_c, figures) = self.pairs(key, value, &part, "percent")?;
                Numbers::ByTemperature {
                    at_c,
                    figures,
                    none_c: None,
                }
            }
            _ => Numbers::One(self.number(key, part("value")?)?),
        };
        Ok(self.placed(
            value,
            Figure {
                numbers,
                source: source.value,
            },
        ))
    }

    /// Temperatures, rising, and one figure for each.
    fn pairs<'a>(
        &self,
        key: &Key,
        value: &Node,
        part: &dyn Fn(&str) -> Result<&'a Node, FileError>,
        figures: &str,
    ) -> Result<(Vec<f64>, Vec<f64>), FileError> {
        let list = |name: &str, key: &Key| -> Result<Vec<f64>, FileError> {
            let entry = part(name)?;
            let Value::List(list) = &entry.value else {
                let message = format!("`{name}` is a list of numbers in brackets");
                return Err(self.wrong(entry, message));
            };
            list.iter().map(|item| self.number(key, item)).collect()
        };
        let at_c = list("at_c", &temperature_key(key))?;
        let found = list(figures, key)?;
        let rises = at_c.windows(2).all(|pair| pair[0] < pair[1]);
        if at_c.is_empty() || at_c.len() != found.len() || !rises {
            let message = format!(
                "`{}` needs one of `{figures}` for each temperature, temperatures rising",
                key.path
            );
            return Err(self.wrong(value, message));
        }
        Ok((at_c, found))
    }

    fn curve<'a>(
        &self,
        key: &Key,
        value: &Node,
        part: &dyn Fn(&str) -> Result<&'a Node, FileError>,
    ) -> Result<Numbers, FileError> {
        let path = key.path;
        let (at_c, days) = self.pairs(key, value, part, "days")?;
        let none_below_c = self.number(&temperature_key(key), part("none_below_c")?)?;
        let none_above_c = self.number(&temperature_key(key), part("none_above_c")?)?;
        if days.iter().any(|&day| day <= 0.0) {
            return Err(self.wrong(value, format!("`{path}` has days of zero or less")));
        }
        if at_c.first().is_some_and(|&first| none_below_c >= first)
            || at_c.last().is_some_and(|&last| none_above_c <= last)
        {
            let message = format!(
                "`{path}`: `none_below_c` and `none_above_c` lie outside the temperatures given"
            );
            return Err(self.wrong(value, message));
        }
        Ok(Numbers::ByTemperature {
            at_c,
            figures: days,
            none_c: Some(Range {
                low: none_below_c,
                high: none_above_c,
            }),
        })
    }

    fn number(&self, key: &Key, value: &Node) -> Result<f64, FileError> {
        let number = value
            .number()
            .ok_or_else(|| self.wrong(value, format!("`{}` takes a number", key.path)))?;
        if number.is_finite() && (key.low..=key.high).contains(&number) {
            return Ok(number);
        }
        let unit = if key.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", key.unit)
        };
        let message = format!(
            "`{}` is {number}{unit}, outside {} to {}{unit}",
            key.path, key.low, key.high
        );
        Err(self.wrong(value, message))
    }

    fn text(&self, name: &str, value: &Node) -> Result<Placed<String>, FileError> {
        let text = value.text().map_or("", str::trim);
        if text.is_empty() {
            return Err(self.wrong(value, format!("`{name}` takes words in quotes")));
        }
        Ok(self.placed(value, blanked(text)))
    }

    fn table<'a>(&self, name: &str, value: &'a Node) -> Result<&'a [Entry], FileError> {
        match &value.value {
            Value::Table(entries) => Ok(entries),
            _ => Err(self.wrong(value, format!("`{name}` is a section: write `[{name}]`"))),
        }
    }

    fn placed<T>(&self, at: &Node, value: T) -> Placed<T> {
        Placed {
            value,
            span: at.span.clone(),
            origin: self.origin.clone(),
        }
    }

    fn wrong(&self, at: &Node, message: String) -> FileError {
        self.origin.error(at.span.clone(), message)
    }

    fn unknown<'a>(&self, entry: &Entry, known: impl Iterator<Item = &'a str>) -> FileError {
        let word = entry.key.as_str();
        let hint = meant(nearest(word, known));
        let message = format!("unknown key `{word}`{hint}");
        self.origin.error(entry.key_span.clone(), message)
    }
}

/// The key of a figure's temperatures: what is believed of a root zone.
fn temperature_key(key: &Key) -> Key {
    Key {
        low: -10.0,
        high: 60.0,
        unit: "°C",
        ..*key
    }
}

/// All keys, those that are no longer used too.
fn keys() -> impl Iterator<Item = &'static Key> {
    KEYS.iter().chain(OLD_KEYS)
}

/// Section of a path such as `temperature.base_c`.
fn section(path: &'static str) -> &'static str {
    path.split_once('.').map_or(path, |(section, _)| section)
}

/// Key of a path within its section.
fn leaf(path: &'static str) -> &'static str {
    path.split_once('.').map_or(path, |(_, key)| key)
}
