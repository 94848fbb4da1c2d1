//! The faces of a sheet: model to bytes. A face works nothing out.
