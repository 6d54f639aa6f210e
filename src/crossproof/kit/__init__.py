"""What a recorder takes along: forms to fill in, a look before uploading, and letters back."""
