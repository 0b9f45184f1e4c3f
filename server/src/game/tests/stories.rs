//! Rules told as stories.
