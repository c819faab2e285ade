"""What can be bought: attachments, reworks, their figures and where each figure comes from."""
