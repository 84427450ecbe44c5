"""What an appliance is made of, read from TOML and checked once; all values are frozen.

- `parts`     the part kinds and the appliance itself
- `schema`    which tables and keys a file may have, with their limits
- `reader`    TOML to appliance, with every problem of the file reported together
- `library`   the bundled appliances by name
- `settings`  part name to position, and all settings of an appliance
- `fault`     one thing gone wrong, as a value applied from outside
"""
