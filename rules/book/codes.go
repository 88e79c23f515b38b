package book

// The codes of a problem with a rule file. A code keeps its meaning for ever;
// those of conditions are in package expression.
const (
	CodeSyntax        = "rule-syntax"         // the file is not YAML
	CodeTooLarge      = "rule-file-too-large" // more than MaxBytes
	CodeTooMany       = "too-many-rules"      // more than MaxRules
	CodeSecond        = "second-document"     // a second YAML document
	CodeAlias         = "alias"               // an anchor, an alias or a merge key
	CodeTag           = "tag"                 // a ! tag
	CodeShape         = "rule-shape"          // a list where a mapping is due, and so on
	CodeUnknownKey    = "rule-key"            // no such key of a rule
	CodeDuplicateKey  = "duplicate-key"       // the same key twice
	CodeMissing       = "missing"             // id, because, source or the effect is missing
	CodeID            = "rule-id"             // not lower-case words with hyphens, or taken
	CodeManyEffects   = "many-effects"        // more than one effect
	CodePermission    = "permission"          // no such permission
	CodeCap           = "cap"                 // no such cap, or not in its unit
	CodeGrade         = "grade"               // no such grade
	CodeVerdict       = "verdict"             // an alarm says stop or evacuate
	CodeRung          = "rung"                // no such rung
	CodeList          = "list"                // no such list of a sheet
	CodePlaceholder   = "placeholder"         // no such number to fill in
	CodeHold          = "hold"                // a hold names a fact and a kind
	CodeRows          = "rows"                // a table without rows, or without a last row that always holds
	CodeSource        = "unknown-source"      // not in the table of documents
	CodeUndatedLaw    = "undated-law"         // a rule that cites law needs from
	CodeMemory        = "memory-permits"      // a permit that rests on memory alone
	CodeDate          = "rule-date"           // not an ISO date, or until before from
	CodeStage         = "wrong-stage"         // a permission may not depend on an answer
	CodeShopPermits   = "shop-permits"        // a shop's rule may not loosen unless it says what it relaxes
	CodeRelaxes       = "relaxes"             // a relaxation that is not whole, or of a rule nobody may loosen
	CodeBeside        = "beside"              // no such rule to stand beside
	CodeInvariant     = "invariant"           // a statement that claims nothing, or several things
	CodeMore          = "too-many"            // more problems than MaxProblems
	CodeDefineUnknown = "define"              // a named condition that is unusable
)

// MaxProblems is how many problems of one reading are listed.
const MaxProblems = 500

// MaxRules is the most rules a book may hold: as many are proved in seconds.
const MaxRules = 2000
