//! Keys of the place, the year, the beds, the household and the money.

use super::super::quantity::Dimension::*;
use super::Fallback::{self, Derived, Flag, Nothing, Required, Word};
use super::Kind::{self, *};
use super::words::{COUNTRIES, Position, words};
use super::{Key, NO_BOUND, SHARE, field, key};
use crate::crops::growth::Pollinator;
use crate::file::gardening::{Gardening, Rotation, Simple};
use crate::file::project::{Folders, Household, Planning, SiteOverride, Winter};
use crate::plan::fate::Losses;
use crate::site::{GHI_KWH_M2_DAY, HUMIDITY_PCT, SUN_HOURS_DAY, TEMPERATURES_C, WIND_M_S};
use crate::value::{Household as Shopping, OwnCosts, PRICE_YEARS, SaladBought};
use crate::words::Word as _;

/// Prices and amounts beyond this are a slip of the pen in any currency.
const MONEY: Option<(f64, f64)> = Some((0.0, 1e9));

#[rustfmt::skip] // a table: one key a line
pub const KEYS: &[Key] = &[
    key("name", Text, Nothing("the place names the project"), NO_BOUND, "what the project is called"),
    key("note", Text, Nothing("no note"), NO_BOUND, "a note for people; the program does not read it"),

    key("site", Table, Required("always"), NO_BOUND, "the place and its weather: a town, a place on the shelf, a latitude and longitude, a weather file, or twelve months of one's own"),
    key("site.place", Place, Required("without weather, months, and latitude and longitude"), NO_BOUND, "a place on the shelf, or a town such as \"Bozeman, Montana\", whose climate is then estimated"),
    key("site.place.latitude", Quantity(Latitude), Required("in a table site.place"), Some((-90.0, 90.0)), "latitude"),
    key("site.place.longitude", Quantity(Longitude), Required("in a table site.place"), Some((-180.0, 180.0)), "longitude"),
    key("site.place.elevation", Quantity(Length), Derived("of the towns and stations around"), Some((-430.0, 6000.0)), "height above sea level"),
    key("site.weather", Text, Nothing("the months of the place"), NO_BOUND, "hourly weather file (EPW), relative to this file's folder"),
    key("site.name", Text, Nothing("the name in the weather source"), NO_BOUND, "the place's name in tables").fills(field!(SiteOverride.name)),
    key("site.latitude", Quantity(Latitude), Required("with months of one's own"), Some((-90.0, 90.0)), "latitude; with the longitude alone the climate is estimated"),
    key("site.longitude", Quantity(Longitude), Required("with months of one's own"), Some((-180.0, 180.0)), "longitude"),
    key("site.elevation", Quantity(Length), Derived("of the weather source; of the town, or of the towns and stations around, where the climate is estimated; 0 m with months of one's own"), Some((-430.0, 6000.0)), "height above sea level").fills(field!(SiteOverride.elevation_m)),
    key("site.time_zone", Quantity(UtcOffset), Derived("the winter clock of the town, or of the nearest; with months of one's own whole hours nearest to longitude / 15"), Some((-12.0, 14.0)), "local standard time, hours ahead of UTC"),
    key("site.ground_reflectance", Quantity(Share), Derived("0.2 without snow, more with"), SHARE, "share of sunlight that the ground outside throws back, all year").fills(field!(SiteOverride.ground_reflectance)),
    key("site.horizon", Horizon, Nothing("a free horizon"), NO_BOUND, "hills and houses: azimuth and elevation of points along the skyline"),
    key("site.months", Table, Nothing("the shelf's months, or the weather file"), NO_BOUND, "twelve months of one's own, January first"),
    key("site.months.max", TwelveMonths(Temperature), Required("in site.months"), Some(TEMPERATURES_C), "mean daily maximum of the air"),
    key("site.months.min", TwelveMonths(Temperature), Required("in site.months"), Some(TEMPERATURES_C), "mean daily minimum of the air"),
    key("site.months.sun", TwelveMonths(SunEnergy), Required("in site.months, without sun_hours"), Some(GHI_KWH_M2_DAY), "sunlight on level ground a day"),
    key("site.months.sun_hours", TwelveMonths(Hours), Required("in site.months, without sun"), Some(SUN_HOURS_DAY), "hours of bright sunshine a day"),
    key("site.months.wind", TwelveMonths(Speed), Derived("of the nearest place on the shelf"), Some(WIND_M_S), "mean wind at 10 m"),
    key("site.months.humidity", TwelveMonths(Share), Derived("of the nearest place on the shelf"), Some((HUMIDITY_PCT.0 / 100.0, HUMIDITY_PCT.1 / 100.0)), "mean relative humidity"),

    key("year", Table, Nothing("every key at its default"), NO_BOUND, "the year to plan, and the weather years to try it on"),
    key("year.plan", Whole, Fallback::Number(2027.0, "dates need a calendar year"), Some(PRICE_YEARS), "calendar year of the plan").fills(field!(Planning.year)),
    key("year.from", Date, Nothing("a year that closes on itself"), NO_BOUND, "first day of a plan that starts with the beds as they are").fills(field!(Planning.from)),
    key("year.months", Whole, Fallback::Number(12.0, "one round of the year"), Some((1.0, 24.0)), "months that a plan with year.from covers").fills(field!(Planning.months)),
    key("year.winter", Kind::Word(Winter::NAMES), Word("usual", "the mean of the weather years"), NO_BOUND, "plan for the mean of all weather years, or of the fifth whose winters bear least").fills(field!(Planning.winter)),
    key("year.finished", Date, Nothing("the local midsummer before the plan"), NO_BOUND, "day the building is finished: its ground is cold from then on").fills(field!(Planning.finished)),
    key("year.weather_years", Whole, Fallback::Number(30.0, "as many as climate normals span"), Some((1.0, 1000.0)), "weather years to simulate; crops are followed, and a plan lives, in the first 120 of them").fills(field!(Planning.weather_years)),
    key("year.near", Text, Nothing("no former plan"), NO_BOUND, "former plan (`plan --save`), relative to this file's folder: kept while no other gains 1 % of the food's worth, mended where it no longer works").fills(field!(Planning.near)),
    key("year.seed", Whole, Fallback::Number(1.0, "any whole number serves"), Some((0.0, 9e15)), "seed of the weather years: the same seed gives the same years").fills(field!(Planning.seed)),

    key("folders", Table, Nothing("the shelf alone"), NO_BOUND, "folders of one's own files, relative to this file's folder"),
    key("folders.crops", Text, Nothing("the shelf alone"), NO_BOUND, "crop files that add to the shelf or override it").fills(field!(Folders.crops)),
    key("folders.climates", Text, Nothing("the shelf alone"), NO_BOUND, "place files that add to the shelf or override it").fills(field!(Folders.climates)),
];

#[rustfmt::skip] // a table: one key a line
pub const HOUSEHOLD_KEYS: &[Key] = &[
    key("bed[]", Tables, Derived("equal beds, building.beds of them"), NO_BOUND, "the growing beds"),
    key("bed[].name", Text, Derived("bed 1, bed 2 and so on"), NO_BOUND, "the bed's name"),
    key("bed[].count", Whole, Fallback::Number(1.0, "one bed"), Some((1.0, 500.0)), "so many alike; a number is added to the name"),
    key("bed[].area", Quantity(Area), Required("without length and width"), Some((0.05, 10_000.0)), "growing area, paths not counted"),
    key("bed[].length", Quantity(Length), Nothing("area says it"), Some((0.1, 500.0)), "length"),
    key("bed[].width", Quantity(Length), Nothing("area says it"), Some((0.1, 100.0)), "width"),
    key("bed[].position", Kind::Word(Position::NAMES), Word("middle", "nothing said of an outer wall"), NO_BOUND, "away from the outer walls, or along one, where more heat leaves the soil sideways"),
    key("bed[].cover", Text, Fallback::Word("none", "nothing said of a cover"), NO_BOUND, "what covers it in cold nights: none, a kind of cover, or the name of one in the list of covers"),
    key("bed[].patch", Quantity(Area), Derived("the bed's sections, as household.sections says"), Some((0.1, 10_000.0)), "least part of the bed that is planted on its own; smaller ones fit small appetites better and make a longer plan"),
    key("bed[].stands", Food, Nothing("empty"), NO_BOUND, "crop that stands in it at the start"),
    key("bed[].sown", Date, Required("with stands"), NO_BOUND, "when that crop was sown or transplanted"),
    key("bed[].share", Quantity(Share), Fallback::Number(1.0, "the whole bed"), Some((0.01, 1.0)), "share of the bed that it takes"),

    key("standing[]", Tables, Nothing("as the beds say"), NO_BOUND, "what stands in the beds at the start, one table for each sowing; more than one may share a bed"),
    key("standing[].bed", Text, Required("in standing"), NO_BOUND, "name of the bed; beds with a count are called by name and number"),
    key("standing[].crop", Food, Required("in standing"), NO_BOUND, "crop that stands there"),
    key("standing[].sown", Date, Required("in standing, without set_out"), NO_BOUND, "day on which it was sown: in the bed, or in a tray where set_out is there as well"),
    key("standing[].set_out", Date, Nothing("it was sown in the bed"), NO_BOUND, "day on which it was set out as a young plant, or is to be: until then it stands in its tray"),
    key("standing[].sections", Wholes, Nothing("those that are free"), Some((1.0, 1_000.0)), "sections of the bed that it takes, from 1, such as [1, 3]"),
    key("standing[].area", Quantity(Area), Nothing("the whole bed"), Some((0.01, 10_000.0)), "area that it takes"),
    key("standing[].clear", Date, Nothing("when it has borne"), NO_BOUND, "day on which its place is to be free for the next, where that is earlier"),

    key("household", Table, Nothing("every key at its default"), NO_BOUND, "who eats, what they like, what they ask for"),
    key("household.eaters[]", Tables, Derived("two adults of 40"), NO_BOUND, "people by number and age"),
    key("household.eaters[].number", Whole, Fallback::Number(1.0, "one person"), Some((1.0, 10_000.0)), "how many"),
    key("household.eaters[].age", Quantity(Years), Fallback::Number(40.0, "an adult"), Some((0.0, 120.0)), "age"),
    key("household.eaters[].appetite", Kind::Number, Fallback::Number(1.0, "as others of the same age"), Some((0.0, 10.0)), "appetite for produce beside that of others of the same age"),
    key("household.appetite", Table, Nothing("the statistics of the eaters"), NO_BOUND, "the household's own appetite, as bought, a week"),
    key("household.appetite.*", Quantity(Mass), Nothing("the statistics of the eaters"), Some((0.0, 10_000.0)), "amount of that food a week"),
    key("household.eats", Foods, Nothing("every food on the shelf"), NO_BOUND, "foods that the household eats"),
    key("household.refuses", Foods, Nothing("none"), NO_BOUND, "foods that the household refuses"),
    key("household.want", Texts, Nothing("no wish"), NO_BOUND, "targets such as \"2 kg salad greens a week from October to April\""),
    key("household.wish_beyond", Quantity(Share), Fallback::Number(0.25, "so that wishes beyond the shopping are planned for; own choice"), SHARE, "worth of a wished kilogram beyond what would have been bought, as a share of its price: for the search of a plan alone, in no figure of money").fills(field!(Household.wish_beyond)),
    key("household.sowings_a_week", Number, Nothing("no limit"), Some((0.0, 1000.0)), "different sowings that the household can manage in a week").fills(field!(Household.sowings_per_week)),
    key("household.hours_a_week", Quantity(Hours), Nothing("no limit"), Some((0.0, 1000.0)), "hours that the household can work in the beds in a week: sowing, setting out, picking").fills(field!(Household.hours_per_week)),
    key("household.trays", Whole, Nothing("no limit"), Some((0.0, 100_000.0)), "seed trays that can stand at a time").fills(field!(Household.trays)),
    key("household.simple", Kind::Word(Simple::NAMES), Word("usual", "what a household's garden holds: 4 to 10 kinds in surveys"), NO_BOUND, "how simple the plan is kept: few is at most 5 kinds of crop, usual 8, most food as many as pay for the time they take").fills(field!(Gardening.simple)),
    key("household.kinds", Whole, Nothing("as household.simple says"), Some((1.0, 1000.0)), "most kinds of crop in the plan").fills(field!(Gardening.kinds)),
    key("household.must", Foods, Nothing("none"), NO_BOUND, "crops that must be in the plan"),
    key("household.fixed", Texts, Nothing("none"), NO_BOUND, "sowings already decided, such as \"tomato in north 1 on 2027-03-20\" or \"kale in half of north 1 on 2027-08-01\"; sown in trays where the crop is never sown in the bed, or where it says \"in trays\" at the end"),
    key("household.away", Texts, Nothing("never"), NO_BOUND, "when nothing can be sown, set out or picked: months such as \"July\", or days such as \"2027-07-05 to 2027-07-25\""),
    key("household.days", Texts, Word("Saturday", "a free day of most households; own choice"), NO_BOUND, "days of the week for the beds, the first one for sowing: \"Saturday\""),
    key("household.sow_every", Whole, Fallback::Number(2.0, "sowing every week is worth 1 to 2 % more, for nearly twice the days (tried on the example)"), Some((1.0, 8.0)), "weeks between days of sowing").fills(field!(Gardening.sow_every_weeks)),
    key("household.sections", Whole, Derived("halves: whole beds give 15 % less, quarters 5 % more for twice the plantings (tried on the example); of a bed whose half is more than 2.5 m2, and more than 0.6 m2 an eater, smaller ones, up to six"), Some((1.0, 24.0)), "equal sections in which each bed is planted, where bed.patch does not say: 2 is halves").fills(field!(Gardening.sections)),
    key("household.rotation", Kind::Word(Rotation::NAMES), Word("years", "the usual rule against soil-borne disease"), NO_BOUND, "years: a family rests from a place for its years, as far as the beds allow; crops: no family directly after itself; none: salad after salad").fills(field!(Gardening.rotation)),

    key("effort", Table, Nothing("every key at its default"), NO_BOUND, "what your own time weighs in the choice of a plan; never booked as money"),
    key("effort.planting", Money, Derived("2 US dollars in the file's currency (own choice)"), Some((0.0, 1e9)), "a planting: one crop sown on one day"),
    key("effort.kind", Money, Derived("5 US dollars in the file's currency (own choice)"), Some((0.0, 1e9)), "a kind of crop: its seed, its ways, its pests"),
    key("effort.sowing_day", Money, Derived("nothing (own choice)"), Some((0.0, 1e9)), "a day on which something is sown"),


    key("household.kitchen_loss", Quantity(Share), Nothing("the statistics' share"), Some((0.0, 0.9)), "share of bought food that is wasted at home, beside peel and trimmings").fills(field!(Shopping.kitchen_loss)),
    key("household.eaten_at_home", Quantity(Share), Nothing("the statistics' share"), SHARE, "share of what the household eats that comes from its own kitchen").fills(field!(Shopping.eaten_at_home)),
    key("household.salad_bought", Kind::Word(SaladBought::NAMES), Nothing("heads, the cautious choice"), NO_BOUND, "in what form the household buys the salad that the beds replace").fills(field!(Shopping.salad_bought)),

    key("growth", Table, Nothing("every key at its default"), NO_BOUND, "what the model of growth is told beside the climate"),
    key("growth.pollinator", Kind::Word(Pollinator::NAMES), Word("by hand", "a brush, or a shake of the trusses, is what a household does"), NO_BOUND, "who carries pollen in the house: without anyone tomatoes set half of their flowers, squash and melons none; open vents let insects in on the days on which they open; bumblebees set all"),
    key("growth.days_spread", Quantity(Share), Fallback::Number(0.15, "sorts and soils lie further apart than the model knows (judgement: 15 % on days in steady climates, more in autumn)"), Some((0.0, 0.6)), "how far a planting's days may lie from the model's, standard deviation; drawn for each planting when the plan is lived through").fills(field!(Losses.days_spread)),
    key("growth.yield_spread", Quantity(Share), Fallback::Number(0.25, "judgement: class figures of growth are good to a fifth, gardeners' yields vary more"), Some((0.0, 1.0)), "the same of what a planting gives").fills(field!(Losses.yield_spread)),

    key("losses", Table, Nothing("every key at its default"), NO_BOUND, "what is lost besides what the weather takes, on average; drawn for each planting over the weather years, and moved by `lost` rows of the journal"),
    key("losses.sown", Quantity(Share), Fallback::Number(0.1, "gaps in a stand from seed beside what cold soil does; a quarter to a half of viable seeds fail and more are sown for it (handbooks, from memory)"), Some((0.0, 0.9)), "share of a sown stand that is missing").fills(field!(Losses.sown)),
    key("losses.set_out", Quantity(Share), Fallback::Number(0.06, "2 to 10 % of plugs set by hand and watered in do not take (common practice, no source)"), Some((0.0, 0.9)), "share of young plants that do not take").fills(field!(Losses.set_out)),
    key("losses.field", Quantity(Share), Fallback::Number(0.1, "home gardens 10 to 30 %, greens under cover 5 to 15 % (judgement); yields on file hold a part of it already"), Some((0.0, 0.9)), "share of the crop that pests and disease take").fills(field!(Losses.field)),
    key("losses.kitchen", Quantity(Share), Fallback::Number(0.05, "5 to 20 % of cut greens and roots are trimmed off or culled (common practice, no source); the low end, as yields on file are of marketed crop"), Some((0.0, 0.9)), "share of what is picked that is trimmed off or culled").fills(field!(Losses.kitchen)),
    key("losses.whole", Quantity(Share), Fallback::Number(0.03, "slugs, mice, a forgotten watering (judgement, no source)"), Some((0.0, 0.9)), "share of plantings that are lost as a whole").fills(field!(Losses.whole)),

    key("cellar", Table, Nothing("food that keeps is stored at its best temperature, such as in a refrigerator"), NO_BOUND, "where food is kept"),
    key("cellar.temperature", Quantity(Temperature), Nothing("cellar.depth says it"), Some((-5.0, 30.0)), "temperature of the cellar while food is in it"),
    key("cellar.depth", Quantity(Length), Nothing("cellar.temperature says it"), Some((0.3, 10.0)), "a cellar or pit that follows the soil outside, at this depth"),

    key("money", Table, Nothing("every key at its default"), NO_BOUND, "currency, budget, prices, costs"),
    key("money.currency", Text, Word("USD", "the most complete price tables"), NO_BOUND, "ISO 4217 code of all amounts in the file"),
    key("money.statistics", Kind::Word(&words(&COUNTRIES)), Derived("the country of the currency, else the United States"), NO_BOUND, "whose published prices and household statistics fill what the file leaves open"),
    key("money.exchange_rate", Kind::Number, Nothing("1 where they agree, else a yearly mean on file"), Some((1e-6, 1e6)), "units of the currency for one of the statistics' own").fills(field!(Shopping.exchange_rate)),
    key("money.price_year", Whole, Derived("year.plan"), Some(PRICE_YEARS), "year in whose money everything is stated"),
    key("money.inflation", Quantity(Share), Fallback::Number(0.025, "common practice, no source"), Some((-0.2, 1.0)), "rise of prices a year beyond the last year on file").fills(field!(Shopping.inflation)),
    key("money.groceries", Price(PerTime), Nothing("the statistics of the household"), MONEY, "all groceries of the household"),
    key("money.produce", Price(PerTime), Nothing("the statistics' share of the groceries"), MONEY, "fresh vegetables and fruit among them"),
    key("money.prices", Table, Nothing("the price tables"), NO_BOUND, "one's own price by food"),
    key("money.prices.*", Prices(PerMass), Nothing("the price tables"), MONEY, "price of that food as bought"),
    key("money.receipts", Text, Nothing("no receipts"), NO_BOUND, "receipts (CSV: date, food, kg or each, paid), relative to this file's folder").fills(field!(Household.receipts)),
    key("money.receipts_complete", Kind::Flag, Flag(false, "receipts tell prices; a drawer of receipts seldom holds them all"), NO_BOUND, "do the receipts hold all that was bought? Then the appetite is taken from them too").fills(field!(Household.receipts_complete)),
    key("money.region", Text, Nothing("the whole country"), NO_BOUND, "region of the published prices of energy, such as US Montana").fills(field!(OwnCosts.region)),
    key("money.electricity", Price(PerEnergy), Nothing("the published price of the region"), MONEY, "price of electricity").fills(field!(OwnCosts.electricity_kwh)),
    key("money.fuel", FuelPrice, Nothing("the published price of the region"), MONEY, "price of the heater's fuel"),
    key("money.water", Price(PerVolume), Nothing("the published price"), MONEY, "price of water").fills(field!(OwnCosts.water_m3)),
    key("money.supplies", Price(PerArea), Nothing("seed, tray mix and compost one by one"), MONEY, "seed, trays and compost together a year, per bed area").fills(field!(OwnCosts.supplies_m2_year)),
    key("money.seed", Price(PerArea), Nothing("the published price"), MONEY, "seed for the area of one sowing").fills(field!(OwnCosts.seed_m2)),
    key("money.tray_mix", Price(PerVolume), Nothing("the published price"), MONEY, "mix for trays and pots"),
    key("money.compost", Price(PerVolume), Nothing("not counted, and said so"), MONEY, "price of compost").fills(field!(OwnCosts.compost_m3)),
    key("money.compost_depth", Quantity(Length), Nothing("one inch (25 mm)"), Some((0.0, 0.3)), "compost spread on the beds a year"),
    key("money.upkeep", Price(PerTime), Nothing("not counted, and said so"), MONEY, "repairs and small things").fills(field!(OwnCosts.upkeep_year)),
    key("money.cover", Money, Nothing("not counted, and said so"), MONEY, "new glazing or film: its cost each time"),
    key("money.cover_life", Quantity(Years), Fallback::Number(4.0, "greenhouse film, UV stabilised (UMass and UConn Extension); used only with a cover"), Some((0.5, 100.0)), "how long the glazing or film lasts"),
    key("money.building", Money, Nothing("it stands and is paid"), MONEY, "the building's cost").fills(field!(OwnCosts.building)),
    key("money.life", Quantity(Years), Fallback::Number(20.0, "common practice, no source"), Some((1.0, 100.0)), "life of the building").fills(field!(OwnCosts.life_years)),
    key("money.discount", Quantity(Share), Fallback::Number(0.03, "a usual real rate in worked examples of building economics"), Some((0.0, 0.5)), "real discount rate a year").fills(field!(OwnCosts.discount_rate)),
];
