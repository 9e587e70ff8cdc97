//! Which column is what: as named, or guessed from the heads.

/// Columns as the person names them; a name not given is guessed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
pub struct Wanted {
    /// Column of the time, by its head; guessed where not named
    #[cfg_attr(feature = "cli", arg(long, value_name = "HEAD", requires = "logger"))]
    pub time_column: Option<String>,
    /// Column of the air inside
    #[cfg_attr(feature = "cli", arg(long, value_name = "HEAD", requires = "logger"))]
    pub air_column: Option<String>,
    /// Column of the air outside
    #[cfg_attr(feature = "cli", arg(long, value_name = "HEAD", requires = "logger"))]
    pub outdoor_column: Option<String>,
    /// Column of the root zone (compared, not fitted to)
    #[cfg_attr(feature = "cli", arg(long, value_name = "HEAD", requires = "logger"))]
    pub root_column: Option<String>,
    /// Column of the sunlight on the level outside, in W/m2
    #[cfg_attr(feature = "cli", arg(long, value_name = "HEAD", requires = "logger"))]
    pub sun_column: Option<String>,
}

/// Where the columns stand, from 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Columns {
    /// Moment, or day.
    pub time: usize,
    /// Time of day, where it has a column of its own.
    pub clock: Option<usize>,
    /// Air inside.
    pub air: usize,
    /// Air outside.
    pub outdoor: Option<usize>,
    /// Root zone.
    pub root_zone: Option<usize>,
    /// Sunlight outside.
    pub sun: Option<usize>,
    /// Heads of the file.
    pub heads: Vec<String>,
}

/// Words of heads, the surest first. Open-ended on purpose: a guess is shown, and a name given outdoes it.
const TIME_WORDS: &[&str] = &[
    "timestamp",
    "datetime",
    "date time",
    "date",
    "time",
    "zeit",
    "datum",
];
const CLOCK_WORDS: &[&str] = &["time", "clock", "uhrzeit", "hour"];
const OUTDOOR_WORDS: &[&str] = &[
    "outdoor", "outside", "outer", "ambient", "aussen", "außen", "out",
];
const ROOT_WORDS: &[&str] = &["root", "soil", "ground", "boden", "bed"];
const INDOOR_WORDS: &[&str] = &["indoor", "inside", "greenhouse", "innen", "house", "air"];
/// Sunlight on the level, W/m2; a lamp's or a leaf's light is another thing.
const SUN_WORDS: &[&str] = &[
    "pyranometer",
    "irradiance",
    "solar",
    "radiation",
    "ghi",
    "global",
    "strahlung",
];
const TEMPERATURE_WORDS: &[&str] = &["temp", "°c", "°f", "celsius", "fahrenheit"];
/// Heads that are no temperature of the air, whatever else they say.
const OTHER_WORDS: &[&str] = &[
    "humid", "rh", "dew", "battery", "volt", "light", "lux", "ppfd", "par", "pressure", "co2",
    "moist", "w/m2", "w/m²", "watt",
];

impl Columns {
    /// Finds the columns; `numeric` says which of them hold numbers, `dated` which hold days or moments.
    ///
    /// # Errors
    /// What could not be found or told apart, with the heads there are.
    pub(super) fn find(
        heads: &[String],
        (numeric, dated): (&[bool], &[bool]),
        wanted: &Wanted,
    ) -> Result<Self, String> {
        let lower: Vec<String> = heads.iter().map(|head| head.to_lowercase()).collect();
        let named = |name: &Option<String>, option: &str| match name {
            None => Ok(None),
            Some(name) => lower
                .iter()
                .position(|head| *head == name.trim().to_lowercase())
                .map(Some)
                .ok_or_else(|| format!("{option}: there is no column `{name}`; {}", listed(heads))),
        };
        let guessed = || {
            let headed = first_with(&lower, TIME_WORDS, &|at| dated[at]);
            headed.or_else(|| dated.iter().position(|dated| *dated))
        };
        let time = named(&wanted.time_column, "--time-column")?.or_else(guessed);
        let time = time.ok_or_else(|| {
            let heads = listed(heads);
            format!("no column looks like the time; name it with --time-column; {heads}")
        })?;
        let clock = first_with(&lower, CLOCK_WORDS, &|at| {
            at != time && lower[time].contains("dat") && !lower[time].contains("time")
        });
        let number = |at: usize| numeric[at] && at != time && Some(at) != clock;
        let sun = named(&wanted.sun_column, "--sun-column")?.or_else(|| {
            first_with(&lower, SUN_WORDS, &|at| {
                number(at)
                    && !has_word(&lower[at], INDOOR_WORDS)
                    && !has_word(&lower[at], TEMPERATURE_WORDS)
            })
        });
        let temperature = |at: usize| {
            number(at)
                && Some(at) != sun
                && !has_word(&lower[at], OTHER_WORDS)
                && (has_word(&lower[at], TEMPERATURE_WORDS) || !has_word(&lower[at], SUN_WORDS))
        };
        let outdoor = named(&wanted.outdoor_column, "--outdoor-column")?
            .or_else(|| first_with(&lower, OUTDOOR_WORDS, &temperature));
        let root_zone = named(&wanted.root_column, "--root-column")?.or_else(|| {
            let not_outdoor = |at| temperature(at) && Some(at) != outdoor;
            first_with(&lower, ROOT_WORDS, &not_outdoor)
        });
        let left = |at: usize| temperature(at) && Some(at) != outdoor && Some(at) != root_zone;
        let air = match named(&wanted.air_column, "--air-column")? {
            Some(at) => at,
            None => guess_air(heads, &lower, &left)?,
        };
        Ok(Columns {
            time,
            clock,
            air,
            outdoor,
            root_zone,
            sun,
            heads: heads.to_vec(),
        })
    }

    /// Head of a column.
    pub fn head(&self, at: usize) -> &str {
        self.heads.get(at).map_or("", String::as_str)
    }
}

fn guess_air(
    heads: &[String],
    lower: &[String],
    left: &dyn Fn(usize) -> bool,
) -> Result<usize, String> {
    let alike = |words: &[&str]| -> Vec<usize> {
        (0..lower.len())
            .filter(|at| left(*at) && has_word(&lower[*at], words))
            .collect()
    };
    let any: Vec<usize> = (0..lower.len()).filter(|at| left(*at)).collect();
    for found in [alike(INDOOR_WORDS), alike(TEMPERATURE_WORDS), any] {
        match found.as_slice() {
            [] => continue,
            [only] => return Ok(*only),
            several => {
                let names: Vec<&str> = several.iter().map(|at| heads[*at].as_str()).collect();
                return Err(format!(
                    "which is the air inside? name it with --air-column: `{}`",
                    names.join("`, `")
                ));
            }
        }
    }
    Err(format!("no column holds temperatures; {}", listed(heads)))
}

fn first_with(lower: &[String], words: &[&str], fits: &dyn Fn(usize) -> bool) -> Option<usize> {
    words
        .iter()
        .find_map(|word| (0..lower.len()).find(|at| has_word(&lower[*at], &[word]) && fits(*at)))
}

/// Does a head have one of the words? Short ones must stand alone.
fn has_word(head: &str, words: &[&str]) -> bool {
    const SHORT: usize = 4;
    words.iter().any(|word| {
        if word.chars().count() >= SHORT {
            head.contains(word)
        } else {
            head.split(|c: char| !(c.is_alphanumeric() || c == '°'))
                .any(|piece| piece == *word)
        }
    })
}

fn listed(heads: &[String]) -> String {
    format!("the columns are `{}`", heads.join("`, `"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(heads: &[&str], wanted: &Wanted) -> Result<Columns, String> {
        let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
        let numeric: Vec<bool> = heads
            .iter()
            .map(|head| !head.to_lowercase().contains("dat"))
            .collect();
        let dated: Vec<bool> = heads
            .iter()
            .map(|head| ["Date Time", "Datum", "timestamp"].contains(&head.as_str()))
            .collect();
        Columns::find(&heads, (&numeric, &dated), wanted)
    }

    #[test]
    fn usual_heads_are_guessed() {
        let found = find(
            &[
                "Date Time",
                "Inside temp (°F)",
                "Outside temp (°F)",
                "RH %",
                "Soil temp",
            ],
            &Wanted::default(),
        )
        .unwrap();
        assert_eq!(
            (found.time, found.air, found.outdoor, found.root_zone),
            (0, 1, Some(2), Some(4))
        );
        let found = find(&["Datum", "Uhrzeit", "Temperatur"], &Wanted::default()).unwrap();
        assert_eq!((found.time, found.clock, found.air), (0, Some(1), 2));
    }

    #[test]
    fn sunlight_outside_is_told_from_light_and_warmth() {
        let heads = [
            "timestamp",
            "greenhouse temp C",
            "Solar radiation outside (W/m2)",
            "outside temp C",
            "Solar radiation inside (W/m2)",
            "PAR (umol/m2/s)",
        ];
        let found = find(&heads, &Wanted::default()).unwrap();
        assert_eq!((found.air, found.outdoor, found.sun), (1, Some(3), Some(2)));
        let found = find(
            &["timestamp", "temp", "solar collector temp"],
            &Wanted::default(),
        );
        assert!(found.unwrap_err().contains("--air-column"));
    }

    #[test]
    fn two_that_could_be_meant_are_asked_for() {
        let heads = ["timestamp", "temp 1", "temp 2"];
        assert!(
            find(&heads, &Wanted::default())
                .unwrap_err()
                .contains("--air-column")
        );
        let wanted = Wanted {
            air_column: Some("TEMP 2".to_owned()),
            ..Wanted::default()
        };
        assert_eq!(find(&heads, &wanted).unwrap().air, 2);
        let wanted = Wanted {
            air_column: Some("temp 3".to_owned()),
            ..Wanted::default()
        };
        assert!(
            find(&heads, &wanted)
                .unwrap_err()
                .contains("there is no column")
        );
    }
}
