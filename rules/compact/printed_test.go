package compact

// printed is a line as a label of version 1 holds it, and printedCase the case
// in it. Neither ever changes.
const printed = "LC1:AE5POT3YQJWX6VHS6DITKNRQKQRDJHUIMMJRU6XJNFTIJJ7U2QZUELR76GGBTYXME4RZMTEX4ZS6PZMX45YQCAQAAD776"

const printedCase = `job:
  id: "HL-301"
battery:
  place: removed
  chemistry: lco
  rest_voltage: 3.62 V
  rated_energy: 15.2 Wh
  looked: both-faces
  swelling: slight
  recalled: unknown
`
