//! The person's own receipts, whole and broken.

use bedyear::value::receipts::read;
use bedyear::value::{Household, OwnAppetite, OwnPrice, market};

#[test]
fn prices_and_appetite_of_five_weeks() {
    let text = "\u{feff}date,food,kg,each,paid,shop\n\
        2026-01-02,carrot,2.0,,4.00,market\n\
        2026-01-20,Carrot,1.0,,2.90,market\n\
        # a remark\n\
        2026-02-05,carrots,2.0,,5.00,corner\n\
        2026-02-05,cucumber,,2,2.80,corner\n";
    let receipts = read(text);
    assert_eq!(receipts.bad, []);
    let prices = receipts.prices(&Household::of_size(2, 2026));
    assert_eq!(prices[0].food, "carrot");
    assert!(
        (prices[0].per_kg[0] - 2.30).abs() < 1e-12,
        "6.90 paid for 3 kg in January"
    );
    assert!((prices[0].per_kg[1] - 2.50).abs() < 1e-12);
    assert!(
        (prices[0].per_kg[6] - 11.9 / 5.0).abs() < 1e-12,
        "the mean where nothing was bought"
    );
    assert!(
        (prices[1].per_kg[1] - 4.00).abs() < 1e-12,
        "two of 0.35 kg for 2.80"
    );
    // 2 January to 5 February: 35 days, five weeks.
    assert!((receipts.appetites()[0].kg_week - 1.0).abs() < 1e-12);
}

#[test]
fn every_bad_row_is_named_and_the_good_ones_stand() {
    let text = "date,food,kg,each,kg_each,paid\n\
        2026-01-02,carrot,2.0,,,4.00\n\
        02/01/2026,carrot,2.0,,,4.00\n\
        2026-01-03,carot,2.0,,,4.00\n\
        2026-01-03,kale,two,,,4.00\n\
        2026-01-03,kale,-2,,,4.00\n\
        2026-01-03,kale,,3,,4.00\n\
        2026-01-03,kale,,3,0.2,4.00\n\
        2026-01-03,kale,,,,4.00\n\
        2026-01-03,kale,1.0,,,NaN\n\
        2026-01-03\n\
        2026-01-03,kale,1.0,,,3,20\n\
        2026-01-03,kale,\"1,250\",,,3.20\n\
        2026-01-03,\"kale,1.0,,,3.20\n\
        2026-01-04,kale,1.0,,,3.20\n\
        2026-01-04,kale,1e-300,,,900\n";
    let receipts = read(text);
    assert_eq!(receipts.bought.len(), 3);
    let messages: Vec<String> = receipts.bad.iter().map(ToString::to_string).collect();
    assert_eq!(
        messages,
        [
            "line 3, column `date`: `02/01/2026` can be two days: month first or day first? write it as 2026-02-01, or as 2026-01-02",
            "line 4, column `food`: `carot` is not a food or group on file; did you mean `carrot`?",
            "line 5, column `kg`: `two` is not a number; write it such as 1.25",
            "line 6, column `kg`: -2 is outside 0 to 100000",
            "line 7, column `each`: the mass of one Kale is not on file; give `kg`, or `kg_each`",
            "line 9, column `kg`: neither `kg` nor `each` is given",
            "line 10, column `paid`: `NaN` is not a number; write it such as 1.25",
            "line 11, column `food`: `` is not a food or group on file",
            "line 12, column `all`: `20` stands beyond the last of 6 columns; put a cell with a `,` in quotation marks",
            "line 13, column `kg`: `1,250` can mean thousands or thousandths; write it without a mark for thousands, such as 1250 or 1.25",
            "line 14, column `all`: a quotation mark is opened and not closed",
            "line 16, column `kg`: 900 paid for 1e-300 kg is 9e302 a kg; is it the mass that was bought?",
        ]
    );
}

#[test]
fn heads_are_asked_for() {
    assert_eq!(
        read("when,what\n2026-01-01,kale\n").bad[0].to_string(),
        "line 1, column `heads`: no column `date`; the first line must name `date`, `food`, `kg` or `each`, `paid`"
    );
    assert!(!read("").bad.is_empty());
}

/// CPI-U, all items, annual averages: 292.655 in 2022, 313.689 in 2024 (BLS, read second hand).
#[test]
fn what_was_paid_in_another_year_is_moved_by_the_index() {
    let receipts = read("date,food,kg,paid\n2022-05-01,kale,1,10\n2024-05-01,kale,1,10\n");
    let price = &receipts.prices(&Household::of_size(2, 2024))[0];
    let by_hand = (10.0 * 313.689 / 292.655 + 10.0) / 2.0;
    assert!((price.per_kg[4] - by_hand).abs() < 1e-9, "{price:?}");
    assert_eq!(price.year, 2024);
    assert_eq!(price.basis, "own receipts, 2 purchases");
}

#[test]
fn receipts_go_before_the_file_and_tell_the_appetite_only_where_they_hold_all() {
    let text =
        "date,food,kg,paid\n2026-01-01,kale,2,20\n2026-01-01,leek,1,4\n2026-01-28,kale,2,20\n";
    let receipts = read(text);
    let mut household = Household::of_size(2, 2026);
    household.prices.push(OwnPrice {
        food: "kale".to_owned(),
        per_kg: [1.0; 12],
        basis: "project file".to_owned(),
        year: 2026,
    });
    household.appetites.push(OwnAppetite {
        of: "leek".to_owned(),
        kg_week: 0.7,
        basis: "project file".to_owned(),
    });
    let some = market(&receipts.apply_to(household.clone(), false)).unwrap();
    let kale = some.food("kale").unwrap();
    assert_eq!(kale.price_per_kg, [10.0; 12]);
    assert_eq!(kale.price_basis.source, "own receipts, 2 purchases");
    assert_eq!(kale.price_basis.mark, "own figure");
    let usual = market(&household)
        .unwrap()
        .food("kale")
        .unwrap()
        .bought_kg_week;
    assert_eq!(kale.bought_kg_week, usual);
    let all = market(&receipts.apply_to(household, true)).unwrap();
    assert!(
        (all.food("kale").unwrap().bought_kg_week - 1.0).abs() < 1e-12,
        "4 kg in 28 days"
    );
    assert_eq!(
        all.food("leek").unwrap().bought_kg_week,
        0.7,
        "the file's word goes first"
    );
}

/// The rows of one purchase list as spreadsheets of several countries save it.
#[test]
fn tables_of_several_countries_say_the_same() {
    let plain =
        "date,food,kg,each,paid\n2026-01-31,carrot,1.25,,1234.50\n2026-02-04,cucumber,,2,0.125\n";
    let expected = read(plain);
    assert_eq!((expected.bought.len(), &expected.bad[..]), (2, &[][..]));
    assert_eq!(expected.bought[0].paid, 1234.5);
    for text in [
        "date;food;kg;each;paid\r\n31.01.2026;carrot;1,25;;1.234,50\r\n04.02.2026;cucumber;;2;0,125\r\n",
        "\u{feff}date\tfood\tkg\teach\tpaid\n31/1/2026\tcarrot\t1,25\t\t1234,5\n4/2/2026\tcucumber\t\t2\t0,125\n",
        "date,food,kg,each,paid\n1/31/2026,carrot,1.25,,\"1,234.50\"\n2/4/2026,cucumber,,2,.125\n",
        "# kept by hand; \"all\" of it\n\nPaid,Kg,Each,Food,Date\n\"1234,5\",\"1,25\",,carrot,2026-01-31\n# x\n\"0,125\",,2,cucumber,2026-02-04\n",
    ] {
        assert_eq!(read(text), expected, "{text}");
    }
}

#[test]
fn figures_of_thousands_are_asked_for_unless_the_file_tells() {
    let told = read("date,food,kg,paid\n2026-01-01,kale,\"1,5\",\"1,250\"\n");
    assert_eq!(told.bought[0].paid, 1.25);
    let open = read("date,food,kg,paid\n2026-01-01,kale,1,\"1,250\"\n");
    assert_eq!(open.bad[0].column, "paid");
}
