"""What an appliance is made of, read from TOML and checked once; all values are frozen.

- `keys`      what a key of a file may hold, with its limits
- `parts`     the part kinds and the appliance itself, with the keys beside their fields
- `schema`    the keys by table
- `names`     names that look alike, or hold characters that cannot be seen
- `problems`  collects everything wrong with a file
- `values`    the values of one table, checked against the schema
- `check`     what must hold between values, and between parts
- `document`  text to TOML, without what would overload the parser; what to say where it is none
- `reader`    TOML to appliance, with every problem of the file reported together
- `file_text` appliance to TOML
- `bundled`   the bundled appliances by name
- `settings`  part name to position, and all settings of an appliance
- `terminals` the ends of the parts, and the points that a file does not name
- `fault`     one fault, applied to an appliance from outside
- `variant`   the same appliance with other values
"""
