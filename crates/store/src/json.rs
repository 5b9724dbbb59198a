//! Yarns as JSON, all fields of every one.

use model::{Ball, Length, Price, Srgb, WeightCategory, Yarn};
use serde_json::{Map, Value, json};

use crate::StoreError;

/// Yarns as the JSON that is kept.
#[must_use]
pub fn write_yarns(yarns: &[Yarn]) -> String {
    Value::Array(yarns.iter().map(write).collect()).to_string()
}

fn write(yarn: &Yarn) -> Value {
    let mut fields = Map::new();
    fields.insert("key".into(), json!(yarn.key));
    fields.insert("name".into(), json!(yarn.name));
    fields.insert("colour".into(), json!(yarn.colour.to_string()));
    if let Some(category) = yarn.category {
        fields.insert("weight".into(), json!(category.number()));
    }
    if let Some(ball) = yarn.ball {
        fields.insert("micrometres".into(), json!(ball.length.micrometres()));
        fields.insert("milligrams".into(), json!(ball.milligrams));
    }
    if let Some(price) = yarn.price {
        fields.insert("price_hundredths".into(), json!(price.hundredths));
    }
    if let Some(balls) = yarn.on_hand {
        fields.insert("on_hand".into(), json!(balls));
    }
    if let Some(lot) = &yarn.dye_lot {
        fields.insert("dye_lot".into(), json!(lot));
    }
    Value::Object(fields)
}

/// Reads what [`write_yarns`] wrote.
///
/// # Errors
/// When it is something else.
pub fn read_yarns(text: &str) -> Result<Vec<Yarn>, StoreError> {
    let damaged = |what: &str| StoreError::Damaged(format!("a list of yarns: {what}"));
    let value: Value = serde_json::from_str(text).map_err(|error| damaged(&error.to_string()))?;
    let list = value.as_array().ok_or_else(|| damaged("it is no list"))?;
    list.iter().map(|yarn| read(yarn).ok_or_else(|| damaged("a yarn has a wrong field"))).collect()
}

fn read(yarn: &Value) -> Option<Yarn> {
    let text = |name: &str| yarn.get(name)?.as_str().map(str::to_owned);
    let colour: Srgb = yarn.get("colour")?.as_str()?.parse().ok()?;
    let category = match yarn.get("weight") {
        Some(number) => Some(WeightCategory::new(u8::try_from(number.as_u64()?).ok()?)?),
        None => None,
    };
    let ball = match yarn.get("micrometres") {
        Some(length) => Some(Ball {
            length: Length::from_micrometres(length.as_i64()?),
            milligrams: yarn.get("milligrams")?.as_u64()?,
        }),
        None => None,
    };
    let on_hand = match yarn.get("on_hand") {
        Some(balls) => Some(u32::try_from(balls.as_u64()?).ok()?),
        None => None,
    };
    Some(Yarn {
        key: text("key")?,
        name: text("name")?,
        colour,
        category,
        ball,
        price: yarn.get("price_hundredths").and_then(Value::as_u64).map(|hundredths| Price { hundredths }),
        on_hand,
        dye_lot: text("dye_lot"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_comes_back() {
        // Invented.
        let plain = Yarn::plain("sand", "Sand \"dry\"", Srgb::new(1, 2, 3));
        let full = Yarn {
            key: "sea".into(),
            category: WeightCategory::new(7),
            ball: Some(Ball { length: Length::mm(82.5), milligrams: 50_001 }),
            price: Some(Price { hundredths: 350 }),
            on_hand: Some(0),
            dye_lot: Some("0172".into()),
            ..plain.clone()
        };
        let yarns = vec![plain, full];
        assert_eq!(read_yarns(&write_yarns(&yarns)), Ok(yarns));
    }

    #[test]
    fn what_is_no_list_is_damaged() {
        for text in ["", "{}", "[1]", r##"[{"key":"a","name":"a","colour":"#12"}]"##] {
            assert!(matches!(read_yarns(text), Err(StoreError::Damaged(_))), "{text}");
        }
    }
}
