"""The audit: bytes, then schema and keys, then rules."""
