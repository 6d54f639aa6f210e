"""The states that a remark mentions, and the evidence that is left of them."""
