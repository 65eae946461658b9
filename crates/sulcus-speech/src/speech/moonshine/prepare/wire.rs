//! Protocol Buffers on the wire: a message as its fields, unknown ones kept byte for byte.
//! Just enough to change an ONNX file; knows no ONNX.

/// One field of a message.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value<'a> {
    Number(u64),
    Fixed64([u8; 8]),
    Fixed32([u8; 4]),
    Bytes(&'a [u8]),
}

/// A message's fields in order.
pub type Fields<'a> = Vec<(u32, Value<'a>)>;

/// Splits a message into its fields.
pub fn read(mut bytes: &[u8]) -> Result<Fields<'_>, String> {
    let mut fields = Vec::new();
    while !bytes.is_empty() {
        let key = take_number(&mut bytes)?;
        let field = u32::try_from(key >> 3).map_err(|_| "field number too large")?;
        let value = match key & 7 {
            0 => Value::Number(take_number(&mut bytes)?),
            1 => Value::Fixed64(take(&mut bytes, 8)?.try_into().map_err(|_| CUT)?),
            2 => {
                let length = usize::try_from(take_number(&mut bytes)?).map_err(|_| CUT)?;
                Value::Bytes(take(&mut bytes, length)?)
            }
            5 => Value::Fixed32(take(&mut bytes, 4)?.try_into().map_err(|_| CUT)?),
            other => return Err(format!("unknown wire type {other}")),
        };
        fields.push((field, value));
    }
    Ok(fields)
}

const CUT: &str = "the file ends inside a field";

fn take<'a>(bytes: &mut &'a [u8], length: usize) -> Result<&'a [u8], String> {
    let (taken, rest) = bytes.split_at_checked(length).ok_or(CUT)?;
    *bytes = rest;
    Ok(taken)
}

pub fn take_number(bytes: &mut &[u8]) -> Result<u64, String> {
    let mut number = 0u64;
    for shift in (0..64).step_by(7) {
        let (&byte, rest) = bytes.split_first().ok_or(CUT)?;
        *bytes = rest;
        number |= u64::from(byte & 0x7f) << shift;
        if byte & 0x80 == 0 {
            return Ok(number);
        }
    }
    Err("a number has too many bytes".to_owned())
}

/// Builds a message.
#[derive(Debug, Default, Clone)]
pub struct Writer {
    pub bytes: Vec<u8>,
}

impl Writer {
    pub fn put(&mut self, field: u32, value: Value<'_>) -> &mut Self {
        let wire_type = match value {
            Value::Number(_) => 0,
            Value::Fixed64(_) => 1,
            Value::Bytes(_) => 2,
            Value::Fixed32(_) => 5,
        };
        self.put_number(u64::from(field) << 3 | wire_type);
        match value {
            Value::Number(number) => self.put_number(number),
            Value::Fixed64(fixed) => self.bytes.extend_from_slice(&fixed),
            Value::Fixed32(fixed) => self.bytes.extend_from_slice(&fixed),
            Value::Bytes(bytes) => {
                self.put_number(bytes.len() as u64);
                self.bytes.extend_from_slice(bytes);
            }
        }
        self
    }

    pub fn text(&mut self, field: u32, text: &str) -> &mut Self {
        self.put(field, Value::Bytes(text.as_bytes()))
    }

    pub fn number(&mut self, field: u32, number: u64) -> &mut Self {
        self.put(field, Value::Number(number))
    }

    pub fn message(&mut self, field: u32, message: &Writer) -> &mut Self {
        self.put(field, Value::Bytes(&message.bytes))
    }

    fn put_number(&mut self, mut number: u64) {
        while number >= 0x80 {
            self.bytes.push(number as u8 | 0x80);
            number >>= 7;
        }
        self.bytes.push(number as u8);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_written_is_read_back() {
        let mut inner = Writer::default();
        inner.text(2, "abc");
        let mut outer = Writer::default();
        outer
            .number(1, 300)
            .message(7, &inner)
            .put(9, Value::Fixed32([1, 2, 3, 4]));
        let fields = read(&outer.bytes).unwrap();
        assert_eq!(fields[0], (1, Value::Number(300)));
        assert_eq!(fields[1], (7, Value::Bytes(&inner.bytes)));
        assert_eq!(fields[2], (9, Value::Fixed32([1, 2, 3, 4])));
    }

    proptest! {
        #[test]
        fn any_bytes_are_read_or_refused_and_read_fields_write_the_same(bytes: Vec<u8>) {
            if let Ok(fields) = read(&bytes) {
                let mut writer = Writer::default();
                for (field, value) in &fields {
                    writer.put(*field, *value);
                }
                prop_assert_eq!(read(&writer.bytes).unwrap(), fields);
            }
        }
    }
}
