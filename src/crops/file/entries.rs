//! Entries of a crop file: each key against the schema, each figure in its shape and range.

use super::{CropFile, Figure, Numbers, Placed};
use crate::crops::schema::{KEYS, Key, LISTS, OLD_KEYS, OLD_SWITCH, SWITCHES, Shape, WORDS};
use crate::crops::{CropError, Range};
use crate::plain::blanked;
use crate::suggest::nearest;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

type Entry<'i> = Spanned<DeValue<'i>>;

impl CropFile {
    pub(super) fn take_top(
        &mut self,
        name: &Spanned<std::borrow::Cow<str>>,
        value: &Entry,
    ) -> Result<(), CropError> {
        let word: &str = name.get_ref();
        if word == "like" {
            self.like = Some(self.text(word, value)?);
        } else if let Some(key) = find(WORDS, word) {
            let text = self.text(word, value)?;
            self.words.insert(key, text);
        } else if let Some(key) = find(SWITCHES, word) {
            let on = value
                .get_ref()
                .as_bool()
                .ok_or_else(|| self.wrong(value, format!("`{word}` is `true` or `false`")))?;
            self.switches.insert(key, on);
            if key == OLD_SWITCH {
                self.old.push(key);
            }
        } else if let Some(key) = find(LISTS, word) {
            let list = value.get_ref().as_array().ok_or_else(|| {
                self.wrong(value, format!("`{word}` is a list of words in brackets"))
            })?;
            let list: Result<Vec<_>, _> = list.iter().map(|item| self.text(word, item)).collect();
            self.lists.insert(key, list?);
        } else if word == "sources" {
            let table = self.table(word, value)?;
            for (key, source) in table {
                let text = self.text(key.get_ref(), source)?.value;
                self.sources.insert(key.get_ref().to_string(), text);
            }
        } else if KEYS
            .iter()
            .chain(OLD_KEYS)
            .any(|key| section(key.path) == word)
        {
            for (key, figure) in self.table(word, value)? {
                self.take_figure(word, key, figure)?;
            }
        } else {
            let known = ["like", "sources"].into_iter();
            let known = known
                .chain(WORDS.iter().chain(SWITCHES).chain(LISTS).copied())
                .chain(KEYS.iter().map(|key| section(key.path)));
            return Err(self.unknown(name.span(), word, known));
        }
        Ok(())
    }

    fn take_figure(
        &mut self,
        section_name: &str,
        name: &Spanned<std::borrow::Cow<str>>,
        value: &Entry,
    ) -> Result<(), CropError> {
        let word: &str = name.get_ref();
        let key = KEYS
            .iter()
            .chain(OLD_KEYS)
            .find(|key| section(key.path) == section_name && leaf(key.path) == word)
            .ok_or_else(|| {
                let known = KEYS
                    .iter()
                    .filter(|key| section(key.path) == section_name)
                    .map(|key| leaf(key.path));
                self.unknown(name.span(), word, known)
            })?;
        let figure = self.figure(key, value)?;
        if OLD_KEYS.iter().any(|old| old.path == key.path) {
            self.old.push(key.path);
        }
        self.figures.insert(key.path, figure);
        Ok(())
    }

    fn figure(&self, key: &Key, value: &Entry) -> Result<Placed<Figure>, CropError> {
        let form = key.shape.form();
        let path = key.path;
        let table = value
            .get_ref()
            .as_table()
            .ok_or_else(|| self.wrong(value, format!("`{path}` is written {form}")))?;
        for name in table.keys() {
            let word: &str = name.get_ref();
            if word != "from" && !key.shape.parts().contains(&word) {
                let known = key.shape.parts().iter().copied().chain(["from"]);
                return Err(self.unknown(name.span(), word, known));
            }
        }
        let source = table.get("from").ok_or_else(|| {
            self.wrong(
                value,
                format!("`{path}` has no source: it is written {form}"),
            )
        })?;
        let source = self.text("from", source)?;
        let part = |name: &str| {
            table.get(name).ok_or_else(|| {
                self.wrong(
                    value,
                    format!("`{path}` lacks `{name}`: it is written {form}"),
                )
            })
        };
        let numbers = match key.shape {
            Shape::Number => Numbers::One(self.number(key, part("value")?)?),
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
                let (at_c, percent) = self.pairs(key, value, &part, "percent")?;
                Numbers::Points { at_c, percent }
            }
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
    fn pairs<'a, 'i: 'a>(
        &self,
        key: &Key,
        value: &Entry,
        part: &dyn Fn(&str) -> Result<&'a Entry<'i>, CropError>,
        figures: &str,
    ) -> Result<(Vec<f64>, Vec<f64>), CropError> {
        let list = |name: &str, key: &Key| -> Result<Vec<f64>, CropError> {
            let entry = part(name)?;
            entry
                .get_ref()
                .as_array()
                .ok_or_else(|| {
                    self.wrong(entry, format!("`{name}` is a list of numbers in brackets"))
                })?
                .iter()
                .map(|item| self.number(key, item))
                .collect()
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

    fn curve<'a, 'i: 'a>(
        &self,
        key: &Key,
        value: &Entry,
        part: &dyn Fn(&str) -> Result<&'a Entry<'i>, CropError>,
    ) -> Result<Numbers, CropError> {
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
        Ok(Numbers::Curve {
            at_c,
            days,
            none_below_c,
            none_above_c,
        })
    }

    fn number(&self, key: &Key, value: &Entry) -> Result<f64, CropError> {
        let number = match value.get_ref() {
            DeValue::Float(float) => float.as_str().parse().ok(),
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
            _ => None,
        };
        let number: f64 =
            number.ok_or_else(|| self.wrong(value, format!("`{}` takes a number", key.path)))?;
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

    fn text(&self, name: &str, value: &Entry) -> Result<Placed<String>, CropError> {
        let text = value.get_ref().as_str().map(str::trim).unwrap_or("");
        if text.is_empty() {
            return Err(self.wrong(value, format!("`{name}` takes words in quotes")));
        }
        Ok(self.placed(value, blanked(text)))
    }

    fn table<'a, 'i>(
        &self,
        name: &str,
        value: &'a Entry<'i>,
    ) -> Result<&'a DeTable<'i>, CropError> {
        value
            .get_ref()
            .as_table()
            .ok_or_else(|| self.wrong(value, format!("`{name}` is a section: write `[{name}]`")))
    }

    fn placed<T>(&self, at: &Entry, value: T) -> Placed<T> {
        Placed {
            value,
            span: at.span(),
            origin: self.origin.clone(),
        }
    }

    fn wrong(&self, at: &Entry, message: String) -> CropError {
        self.origin.error(at.span(), message)
    }

    fn unknown<'a>(
        &self,
        span: std::ops::Range<usize>,
        word: &str,
        known: impl Iterator<Item = &'a str>,
    ) -> CropError {
        let hint =
            nearest(word, known).map_or(String::new(), |key| format!("; did you mean `{key}`?"));
        self.origin
            .error(span, format!("unknown key `{word}`{hint}"))
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

fn find(keys: &'static [&'static str], word: &str) -> Option<&'static str> {
    keys.iter().copied().find(|key| *key == word)
}

/// Section of a path such as `temperature.base_c`.
fn section(path: &'static str) -> &'static str {
    path.split_once('.').map_or(path, |(section, _)| section)
}

/// Key of a path within its section.
fn leaf(path: &'static str) -> &'static str {
    path.split_once('.').map_or(path, |(_, key)| key)
}
