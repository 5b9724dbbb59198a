//! JSON texts as a tree that keeps the order of its fields and bounds its own size.

use core::cell::Cell;
use core::fmt;
use std::borrow::Cow;

use serde::de::{self, DeserializeSeed, MapAccess, SeqAccess, Visitor};

use crate::fault::Faults;

/// Any JSON value.
#[derive(Debug, PartialEq)]
pub(crate) enum Json<'a> {
    Null,
    Bool(bool),
    /// A whole number without point and exponent.
    Whole(i64),
    /// Any other number.
    Real(f64),
    Text(Cow<'a, str>),
    List(Vec<Json<'a>>),
    /// Fields in the order of the text; a name may come twice.
    Object(Vec<(Cow<'a, str>, Json<'a>)>),
}

impl Json<'_> {
    /// What kind of value it is, for messages.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Self::Null => "null",
            Self::Bool(_) => "true or false",
            Self::Whole(_) => "a whole number",
            Self::Real(_) => "a number",
            Self::Text(_) => "a text",
            Self::List(_) => "a list",
            Self::Object(_) => "an object",
        }
    }
}

/// Parses a text that holds at most so many values, names of fields not counted. Nesting is
/// bounded by `serde_json`.
pub(crate) fn parse(text: &str, most_values: usize) -> Result<Json<'_>, Faults> {
    let left = Cell::new(most_values);
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = Node(&left).deserialize(&mut reader);
    value.and_then(|value| reader.end().map(|()| value)).map_err(|error| {
        let message = error.to_string();
        let message = message.rsplit_once(" at line ").map_or(&*message, |(message, _)| message);
        let place = format!("line {}, column {}", error.line(), error.column());
        Faults::one(format!("the text is not readable JSON: {message}"), place, "")
    })
}

/// A JSON string with its quotation marks.
pub(crate) fn string(text: &str) -> String {
    serde_json::to_string(text).expect("a text can be written as JSON")
}

/// Builds a value while counting down what is left of the bound.
#[derive(Clone, Copy)]
struct Node<'b>(&'b Cell<usize>);

impl<'de> DeserializeSeed<'de> for Node<'_> {
    type Value = Json<'de>;

    fn deserialize<D: de::Deserializer<'de>>(self, reader: D) -> Result<Json<'de>, D::Error> {
        let left = self.0.get().checked_sub(1);
        self.0.set(left.ok_or_else(|| de::Error::custom("it holds more values than are read"))?);
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Node<'_> {
    type Value = Json<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_unit<E>(self) -> Result<Json<'de>, E> {
        Ok(Json::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Json<'de>, E> {
        Ok(Json::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Json<'de>, E> {
        Ok(Json::Whole(value))
    }

    #[allow(clippy::cast_precision_loss)] // far out of any bound here
    fn visit_u64<E>(self, value: u64) -> Result<Json<'de>, E> {
        Ok(i64::try_from(value).map_or(Json::Real(value as f64), Json::Whole))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Json<'de>, E> {
        Ok(Json::Real(value))
    }

    fn visit_borrowed_str<E>(self, value: &'de str) -> Result<Json<'de>, E> {
        Ok(Json::Text(Cow::Borrowed(value)))
    }

    fn visit_str<E>(self, value: &str) -> Result<Json<'de>, E> {
        Ok(Json::Text(Cow::Owned(value.to_owned())))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Json<'de>, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element_seed(self)? {
            list.push(item);
        }
        Ok(Json::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Json<'de>, A::Error> {
        let mut fields = Vec::new();
        while let Some(name) = entries.next_key_seed(Name)? {
            fields.push((name, entries.next_value_seed(self)?));
        }
        Ok(Json::Object(fields))
    }
}

/// The name of a field, borrowed from the text where it holds no escapes.
struct Name;

impl<'de> DeserializeSeed<'de> for Name {
    type Value = Cow<'de, str>;

    fn deserialize<D: de::Deserializer<'de>>(self, reader: D) -> Result<Cow<'de, str>, D::Error> {
        reader.deserialize_str(self)
    }
}

impl<'de> Visitor<'de> for Name {
    type Value = Cow<'de, str>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a field")
    }

    fn visit_borrowed_str<E>(self, name: &'de str) -> Result<Cow<'de, str>, E> {
        Ok(Cow::Borrowed(name))
    }

    fn visit_str<E>(self, name: &str) -> Result<Cow<'de, str>, E> {
        Ok(Cow::Owned(name.to_owned()))
    }
}
