//! Places on the shelf.

use super::Look;
use super::table::{Align, Sheet};
use crate::output::text::fixed;
use crate::output::view::{PlaceRow, ShelfView};

/// Places, with how cold and warm they get and where the figures come from.
pub fn places(view: &ShelfView<PlaceRow>, look: &Look) -> String {
    let degree = look.units.temperature_unit();
    let winter = format!("Winter {degree}");
    let summer = format!("Summer {degree}");
    let mut sheet = Sheet::new(&[
        ("Place", Align::Left),
        ("Name", Align::Left),
        ("Lat", Align::Right),
        ("m", Align::Right),
    ]);
    sheet.column(&winter, Align::Right);
    sheet.column(&summer, Align::Right);
    for row in &view.rows {
        sheet.row(vec![
            row.place.clone(),
            row.name.clone(),
            fixed(row.latitude_deg, 1),
            fixed(row.elevation_m, 0),
            fixed(look.units.temperature(row.coldest_month_min_c), 1),
            fixed(look.units.temperature(row.warmest_month_max_c), 1),
        ]);
    }
    let mut text = look.head("Places on the shelf");
    text.push_str(&sheet.render(look));
    text.push_str(&look.prose(
        "Lat: latitude, degrees, north positive; m: height above the sea. Winter: mean daily minimum of the coldest month; summer: mean daily maximum of the warmest. Sources: --format csv.",
    ));
    text
}
